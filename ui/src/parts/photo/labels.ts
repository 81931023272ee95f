// Where the labels of pins stand, so that none lies over another, over a pin or beyond the edge.

import type { Pixel, Size } from './view';

export interface Labelled extends Size {
    id: string;
    /** The pin, in px. */
    at: Pixel;
}

/** The left and top of a label, and whether a line must lead to its pin. */
export interface Placed extends Pixel {
    isFar: boolean;
}

export interface Box {
    left: number;
    top: number;
    right: number;
    bottom: number;
}

/** No label comes nearer to a pin than this. */
const CLEAR_PX = 15;
const APART_PX = 3;
const RINGS_PX = [CLEAR_PX, 34, 62, 96];
/** Right, left, above, below, then the corners: where the eye looks first. */
const WAYS: readonly (readonly [number, number])[] = [
    [1, 0],
    [-1, 0],
    [0, -1],
    [0, 1],
    [1, -1],
    [1, 1],
    [-1, -1],
    [-1, 1],
];

/**
 * Places the labels in their order, each where it is free and nearest to its pin. One that finds no room has no place:
 * its pin is drawn without it. `kept` is kept free for what else lies on the glass.
 */
export function placed(labels: readonly Labelled[], glass: Size, kept: readonly Box[] = []): Map<string, Placed> {
    const found = new Map<string, Placed>();
    const pins = labels.map(({ at }) => square(at, CLEAR_PX - APART_PX));
    const taken: Box[] = [...kept];
    for (const label of labels) {
        if (!isInside(square(label.at, 0), glass)) continue;
        for (const ring of RINGS_PX) {
            const free = WAYS.map((way) => boxOf(label, way, ring)).find(
                (box) => isInside(box, glass) && ![...taken, ...pins].some((other) => overlap(box, other)),
            );
            if (!free) continue;
            taken.push(free);
            found.set(label.id, { x: free.left, y: free.top, isFar: ring !== CLEAR_PX });
            break;
        }
    }
    return found;
}

function boxOf({ at, width, height }: Labelled, [right, down]: readonly [number, number], away: number): Box {
    // At a corner the nearest edge is as far away as at a side.
    const reach = right !== 0 && down !== 0 ? away * Math.SQRT1_2 : away;
    const left = at.x + right * reach - (width * (1 - right)) / 2;
    const top = at.y + down * reach - (height * (1 - down)) / 2;
    return { left, top, right: left + width, bottom: top + height };
}

function square({ x, y }: Pixel, half: number): Box {
    return { left: x - half, top: y - half, right: x + half, bottom: y + half };
}

function isInside(box: Box, glass: Size): boolean {
    return box.left >= 0 && box.top >= 0 && box.right <= glass.width && box.bottom <= glass.height;
}

function overlap(a: Box, b: Box): boolean {
    return a.left < b.right + APART_PX && b.left < a.right + APART_PX && a.top < b.bottom + APART_PX && b.top < a.bottom + APART_PX;
}
