// What lies over what in the drawing of the shell: far edges first, then the faces that are seen, then near edges.

import { type Face, isSeen } from './faces';
import type { Scene, Stroke } from './scene';
import { dot, type Vec } from './vector';

export interface Laid {
    far: Stroke[];
    faces: Face[];
    /** Each over a halo, so that it cuts through those behind. */
    near: Stroke[];
}

/** Puts edges and faces in order for an eye in that direction. The nearer half of the edges lies over the faces, and what
 *  bounds them. */
export function inOrder({ outline, faces }: Pick<Scene, 'outline' | 'faces'>, near: Vec): Laid {
    const seen = faces.filter((face) => isSeen(face, near));
    const rims = new Map<Vec, Set<Vec>>();
    for (const { corners } of seen) {
        for (const [at, corner] of corners.entries()) {
            const next = corners[(at + 1) % corners.length]!;
            for (const [a, b] of [[corner, next], [next, corner]] as const) (rims.get(a) ?? rims.set(a, new Set()).get(a)!).add(b);
        }
    }
    const depth = ({ a, b }: Stroke): number => dot(near, a) + dot(near, b);
    const edges = outline.map((stroke) => ({ stroke, depth: depth(stroke) })).sort((a, b) => a.depth - b.depth);
    const laid: Laid = { far: [], faces: seen, near: [] };
    for (const [at, { stroke }] of edges.entries()) {
        const isNear = at >= Math.floor(edges.length / 2) || rims.get(stroke.a)?.has(stroke.b);
        if (isNear) laid.near.push({ ...stroke, style: 'outline-halo' }, stroke);
        else laid.far.push(stroke);
    }
    return laid;
}
