// What a finger means: the nearest point within its reach, else the nearest line.

import type { Seen } from './camera';
import type { Scene } from './scene';
import type { Vec } from './vector';

export type Hit = { point: string } | { reading: string };

const POINT_REACH = 28;
const LINE_REACH = 16;

export function hitOf(scene: Scene, eye: (place: Vec) => Seen, x: number, y: number): Hit | null {
    let best: { point: string; away: number } | null = null;
    for (const { label, at } of scene.pricks) {
        const seen = eye(at);
        const away = Math.hypot(seen.x - x, seen.y - y);
        if (away <= POINT_REACH && (!best || away < best.away)) best = { point: label, away };
    }
    if (best) return { point: best.point };
    let line: { reading: string; away: number } | null = null;
    // What is drawn over the rest is meant before it.
    for (const stroke of [...scene.over, ...scene.under]) {
        if (stroke.reading === undefined) continue;
        const away = fromSegment(eye(stroke.a), eye(stroke.b), x, y);
        if (away <= LINE_REACH && (!line || away < line.away - 4)) line = { reading: stroke.reading, away };
    }
    return line ? { reading: line.reading } : null;
}

function fromSegment(a: Seen, b: Seen, x: number, y: number): number {
    const [dx, dy] = [b.x - a.x, b.y - a.y];
    const along = Math.max(0, Math.min(1, ((x - a.x) * dx + (y - a.y) * dy) / (dx * dx + dy * dy || 1)));
    return Math.hypot(a.x + along * dx - x, a.y + along * dy - y);
}
