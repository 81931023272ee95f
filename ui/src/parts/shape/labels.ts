// Where names stand beside their points, so that none lies over another one or over a call-out. What finds no room is left out:
// it appears when the drawing is larger.

export interface Rect {
    x: number;
    y: number;
    width: number;
    height: number;
}

export interface LabelWish {
    label: string;
    /** Where its point is. */
    x: number;
    y: number;
    width: number;
    height: number;
    /** How far from the point it begins: past its ellipse. */
    away: number;
    /** Smaller comes first. */
    rank: number;
}

export interface PlacedLabel extends Rect {
    label: string;
    /** Which of the places round the point it has. */
    side: number;
}

/** Between two names. */
const APART = 6;

/** Right, left, above, below, then the corners. */
const SIDES: readonly (readonly [number, number])[] = [
    [1, 0],
    [-1, 0],
    [0, -1],
    [0, 1],
    [1, -0.8],
    [-1, -0.8],
    [1, 0.8],
    [-1, 0.8],
];

export function overlap(a: Rect, b: Rect, apart = 0): boolean {
    return a.x < b.x + b.width + apart && b.x < a.x + a.width + apart && a.y < b.y + b.height + apart && b.y < a.y + a.height + apart;
}

/**
 * Places names one after the other, those of least rank first. A name keeps the side that it had where there is room, so that it
 * does not jump while the drawing is turned.
 */
export function placeLabels(
    wishes: readonly LabelWish[],
    taken: readonly Rect[],
    bounds: { width: number; height: number },
    sidesBefore: ReadonlyMap<string, number>,
    dots: readonly { x: number; y: number }[],
    most: number,
): PlacedLabel[] {
    const grid = new Grid();
    for (const rect of taken) grid.add(rect, APART);
    const marks = new Grid();
    for (const { x, y } of dots) marks.add({ x: x - 3, y: y - 3, width: 6, height: 6 }, 0);
    const placed: PlacedLabel[] = [];
    for (const wish of [...wishes].sort((a, b) => a.rank - b.rank || (a.label < b.label ? -1 : 1))) {
        if (placed.length >= most) break;
        const before = sidesBefore.get(wish.label);
        const order = before === undefined ? [0, 1, 2, 3, 4, 5, 6, 7] : [before, ...[0, 1, 2, 3, 4, 5, 6, 7].filter((side) => side !== before)];
        for (const side of order) {
            const rect = rectAt(wish, SIDES[side]!);
            if (rect.x < 2 || rect.y < 2 || rect.x + rect.width > bounds.width - 2 || rect.y + rect.height > bounds.height - 2) continue;
            if (grid.meets(rect, APART) || marks.meets(rect, 0)) continue;
            grid.add(rect, APART);
            placed.push({ label: wish.label, side, ...rect });
            break;
        }
    }
    return placed;
}

function rectAt({ x, y, width, height, away }: LabelWish, [dx, dy]: readonly [number, number]): Rect {
    const reach = away + 4;
    const across = dx === 0 ? -width / 2 : dx > 0 ? reach * (dy === 0 ? 1 : 0.75) : -width - reach * (dy === 0 ? 1 : 0.75);
    const along = dy * (reach + height / 2) - height / 2;
    return { x: x + across, y: y + along, width, height };
}

/** Rectangles by the squares that they touch, so that many points do not make it slow. */
class Grid {
    static readonly #SQUARE = 64;
    readonly #squares = new Map<string, Rect[]>();

    add(rect: Rect, apart: number): void {
        for (const key of Grid.#keys(rect, apart)) {
            const known = this.#squares.get(key);
            if (known) known.push(rect);
            else this.#squares.set(key, [rect]);
        }
    }

    meets(rect: Rect, apart: number): boolean {
        return Grid.#keys(rect, apart).some((key) => this.#squares.get(key)?.some((other) => overlap(rect, other, apart)) ?? false);
    }

    static #keys({ x, y, width, height }: Rect, apart: number): string[] {
        const keys: string[] = [];
        const at = (px: number): number => Math.floor(px / Grid.#SQUARE);
        for (let column = at(x - apart); column <= at(x + width + apart); column += 1) {
            for (let row = at(y - apart); row <= at(y + height + apart); row += 1) keys.push(`${column},${row}`);
        }
        return keys;
    }
}
