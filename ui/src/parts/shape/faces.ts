// The faces of a shell, for the eye: three or four edges of the outline that close and have the shell on one side of them.

import type { ShapeShown } from '../../gen/wire';
import { boxOf, cross, dot, middle, minus, plus, size, times, unit, type Vec } from './vector';

export interface Face {
    /** Three or four, one after the other round the face. */
    corners: readonly Vec[];
    /** Away from the shell. */
    outward: Vec;
}

/** What sticks out of a face by less is a dent in it, as a part of the size of the shell. */
const DENT = 0.04;
/** So many of the points may lie before a face all the same: mirrors, brackets. */
const STRAY = 0.05;
/** A corner may stand so far out of the plane of its face, as a part of the size of the face. */
const BENT = 0.12;
/** A sliver is no face, as a part of the square of its longest edge. */
const THIN = 0.1;

const known = new WeakMap<ShapeShown, readonly Face[]>();

/** The faces of a shell, worked out once. */
export function facesOf(shape: ShapeShown): readonly Face[] {
    let faces = known.get(shape);
    if (!faces) {
        const places = shape.points.flatMap(({ label, place }) => (place ? [[label, place] as const] : []));
        faces = outside(rings(shape.outline), new Map(places));
        known.set(shape, faces);
    }
    return faces;
}

/** The rings of three edges, and those of four that no edge cuts short. */
export function rings(edges: readonly (readonly [string, string])[]): string[][] {
    const beside = new Map<string, Set<string>>();
    const add = (a: string, b: string): unknown => (beside.get(a) ?? beside.set(a, new Set()).get(a)!).add(b);
    for (const [a, b] of edges) {
        add(a, b);
        add(b, a);
    }
    const joined = (a: string, b: string): boolean => beside.get(a)?.has(b) ?? false;
    const found: string[][] = [];
    for (const [a, all] of beside) {
        // Each ring once: from its first label, and one way round.
        const later = [...all].filter((b) => b > a).sort();
        for (const [at, b] of later.entries()) {
            for (const d of later.slice(at + 1)) {
                if (joined(b, d)) {
                    found.push([a, b, d]);
                    continue;
                }
                for (const c of beside.get(b)!) if (c > a && joined(c, d) && !joined(a, c)) found.push([a, b, c, d]);
            }
        }
    }
    return found;
}

function outside(all: readonly string[][], places: ReadonlyMap<string, Vec>): Face[] {
    const points = [...places.values()];
    const box = boxOf(points);
    if (!box) return [];
    const dent = DENT * size(minus(box.high, box.low));
    return all.flatMap((labels): Face[] => {
        const corners = labels.map((label) => places.get(label)).filter((place) => place !== undefined);
        if (corners.length < labels.length) return [];
        const [a, b, c, d] = corners as [Vec, Vec, Vec, Vec?];
        const across = d ? cross(minus(c, a), minus(d, b)) : cross(minus(b, a), minus(c, a));
        const longest = Math.max(...corners.map((corner, at) => size(minus(corner, corners[(at + 1) % corners.length]!))));
        if (size(across) / 2 < THIN * longest * longest) return [];
        const normal = unit(across);
        const centre = d ? middle(middle(a, c), middle(b, d)) : times(plus(plus(a, b), c), 1 / 3);
        const above = (point: Vec): number => dot(normal, minus(point, centre));
        if (corners.some((corner) => Math.abs(above(corner)) > BENT * longest)) return [];
        const heights = points.map(above);
        const before = heights.filter((height) => height > dent).length;
        const behind = heights.filter((height) => height < -dent).length;
        if (Math.min(before, behind) > STRAY * points.length || before === behind) return [];
        return [{ corners, outward: before < behind ? normal : times(normal, -1) }];
    });
}

/** Whether the eye sees it from outside: seen along itself it is a line. */
export const isSeen = ({ outward }: Face, near: Vec): boolean => dot(outward, near) > 0.12;

/** Whether light from above falls on it. */
export const isAbove = ({ outward }: Face): boolean => outward[2] > 0.6;
