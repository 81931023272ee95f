// Places and directions in the job's frame: x ahead, y to the left, z up; mm.

export type Vec = readonly [number, number, number];

export const minus = (a: Vec, b: Vec): Vec => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const plus = (a: Vec, b: Vec): Vec => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const times = (a: Vec, by: number): Vec => [a[0] * by, a[1] * by, a[2] * by];
export const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const middle = (a: Vec, b: Vec): Vec => times(plus(a, b), 0.5);
export const cross = (a: Vec, b: Vec): Vec => [
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
];
export const size = (a: Vec): number => Math.hypot(a[0], a[1], a[2]);
export const unit = (a: Vec): Vec => times(a, 1 / (size(a) || 1));

export interface Box {
    low: Vec;
    high: Vec;
}

/** The least box round places; nothing where there are none. */
export function boxOf(places: readonly Vec[]): Box | null {
    if (places.length === 0) return null;
    const low: [number, number, number] = [Infinity, Infinity, Infinity];
    const high: [number, number, number] = [-Infinity, -Infinity, -Infinity];
    for (const place of places) {
        for (let axis = 0; axis < 3; axis += 1) {
            low[axis] = Math.min(low[axis]!, place[axis]!);
            high[axis] = Math.max(high[axis]!, place[axis]!);
        }
    }
    return { low, high };
}

/** The eight corners of a box. */
export function cornersOf({ low, high }: Box): Vec[] {
    return [0, 1, 2, 3, 4, 5, 6, 7].map((bits) => [
        bits & 1 ? high[0] : low[0],
        bits & 2 ? high[1] : low[1],
        bits & 4 ? high[2] : low[2],
    ]);
}
