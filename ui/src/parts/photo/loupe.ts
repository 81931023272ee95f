// Where the loupe is, so that neither finger nor hand lies on it.

import type { Pixel, Size } from './view';

/** The width of the loupe, in px. */
export const ACROSS = 148;
/** From the finger's place to the middle of the loupe over it. */
const AWAY = 118;

/** The middle of the loupe: above the finger; where there is no room above, in the upper corner that is farther away. */
export function loupeAt({ x, y }: Pixel, glass: Size): Pixel {
    const half = ACROSS / 2;
    const [left, right] = [half, Math.max(half, glass.width - half)];
    if (y - AWAY - half >= 0) return { x: Math.min(Math.max(x, left), right), y: y - AWAY };
    return { x: x < glass.width / 2 ? right : left, y: half };
}
