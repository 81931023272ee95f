// The arrow that says where ahead is, in the corner of the drawing: always, from wherever the shell is seen.

import { axesOf, type Camera, type Frame } from './camera';
import { widthOf } from './text';
import type { Written } from './written';

/** The corner that it takes. */
export const COMPASS = { width: 96, height: 84 };
const HALF = 26;
const CROSS = 6.4;

export function compass(camera: Camera, { width, height }: Frame, word: string, rem: number): Pick<Written, 'strokes' | 'pricks' | 'names'> {
    const { right, up, near } = axesOf(camera);
    const [x, y] = [width - COMPASS.width / 2, height - 38];
    const [dx, dy] = [right[0], -up[0]];
    const long = Math.hypot(dx, dy);
    const named = (above: number): Written['names'] => [
        { label: word, x: x - widthOf(word, rem, false) / 2, y: y - above - 20 * rem, height: 20 * rem, isPicked: false },
    ];
    // Straight towards the eye or away from it: a dot or a cross in a ring, as the point and the feathers of an arrow.
    if (long < 0.2) {
        if (near[0] > 0) return { strokes: [], pricks: [{ style: 'ahead-towards', x, y }], names: named(14) };
        const stroke = (sign: number) => ({ style: 'ahead-feather' as const, fromX: x - CROSS, fromY: y - sign * CROSS, toX: x + CROSS, toY: y + sign * CROSS });
        return { strokes: [stroke(1), stroke(-1)], pricks: [{ style: 'ahead-away', x, y }], names: named(14) };
    }
    const [ax, ay] = [(HALF * dx) / long, (HALF * dy) / long];
    return { strokes: [{ style: 'ahead', fromX: x - ax, fromY: y - ay, toX: x + ax, toY: y + ay }], pricks: [], names: named(9 + 0.85 * Math.abs(ay)) };
}
