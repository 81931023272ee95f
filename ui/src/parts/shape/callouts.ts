// Where the boxes stand that call a doubt out: in rows along the head and the foot of the drawing, each above or below what it
// speaks of, with leaders that do not cross within a row.

import type { Rect } from './labels';

export interface CalloutWish {
    key: string;
    /** What it points at. */
    x: number;
    y: number;
    width: number;
}

export interface PlacedCallout extends Rect {
    key: string;
    /** Where its leader begins, at the edge of the box. */
    fromX: number;
    fromY: number;
    toX: number;
    toY: number;
}

/** The drawn height of a box; what answers to a touch is higher. */
export const BOX_HEIGHT = 36;
/** From one row to the next: a finger has room for one alone. */
const ROW_STEP = 52;
const GAP = 10;
const EDGE = 12;

/**
 * Places the boxes, the gravest first; those that find no room are left out. Rows at the foot end short of a corner that is
 * taken.
 */
export function placeCallouts(
    wishes: readonly CalloutWish[],
    { width, height }: { width: number; height: number },
    rows = { head: 2, foot: 1 },
    corner = 0,
): PlacedCallout[] {
    const lines = [
        ...Array.from({ length: rows.head }, (_, index) => ({ y: EDGE + 6 + index * ROW_STEP, width, isHead: true })),
        ...Array.from({ length: rows.foot }, (_, index) => ({ y: height - EDGE - 6 - BOX_HEIGHT - index * ROW_STEP, width: width - corner, isHead: false })),
    ];
    const held: CalloutWish[][] = lines.map(() => []);
    const room = lines.map((line) => line.width - 2 * EDGE);
    for (const wish of wishes) {
        // The half of the drawing where it lies comes first, the outermost row of that before the others.
        const isHead = wish.y < height / 2;
        const order = lines.map((_, index) => index).sort((a, b) => Number(lines[b]!.isHead === isHead) - Number(lines[a]!.isHead === isHead) || a - b);
        const row = order.find((index) => held[index]!.reduce((sum, one) => sum + one.width + GAP, 0) + wish.width <= room[index]!);
        if (row !== undefined) held[row]!.push(wish);
    }
    return held.flatMap((row, index) => inRow(row, lines[index]!));
}

/** Boxes of one row, each as near above what it points at as the others let it. */
function inRow(row: CalloutWish[], { y, width, isHead }: { y: number; width: number; isHead: boolean }): PlacedCallout[] {
    const sorted = [...row].sort((a, b) => a.x - b.x || (a.key < b.key ? -1 : 1));
    const lefts = sorted.map((wish) => wish.x - wish.width / 2);
    let from = EDGE;
    for (const [index, wish] of sorted.entries()) {
        lefts[index] = Math.max(lefts[index]!, from);
        from = lefts[index]! + wish.width + GAP;
    }
    let to = width - EDGE;
    for (let index = sorted.length - 1; index >= 0; index -= 1) {
        lefts[index] = Math.min(lefts[index]!, to - sorted[index]!.width);
        to = lefts[index]! - GAP;
    }
    return sorted.map((wish, index) => {
        const x = lefts[index]!;
        return {
            key: wish.key,
            x,
            y,
            width: wish.width,
            height: BOX_HEIGHT,
            fromX: Math.max(x + 14, Math.min(x + wish.width - 14, wish.x)),
            fromY: isHead ? y + BOX_HEIGHT : y,
            toX: wish.x,
            toY: wish.y,
        };
    });
}
