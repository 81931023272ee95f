// Where the labels of pins stand, so that none lies over another, over a pin or beyond the edge.

import { placeLabels, type Rect } from '../shape/labels';
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

/** Half the width of a pin, which no label covers. */
const PIN_PX = 11;
/** How far from its pin a label may begin: beside it, then in wider and wider rings with a line to it. */
const RINGS_PX = [13, 30, 48];

/**
 * Places the labels in their order, each where it is free and nearest to its pin. One that finds no room has no place:
 * its pin is drawn without it. `kept` is kept free for what else lies on the glass.
 */
export function placed(labels: readonly Labelled[], glass: Size, kept: readonly Rect[] = []): Map<string, Placed> {
    const found = new Map<string, Placed>();
    const square = ({ x, y }: Pixel): Rect => ({ x: x - PIN_PX, y: y - PIN_PX, width: 2 * PIN_PX, height: 2 * PIN_PX });
    const taken: Rect[] = [...kept, ...labels.map(({ at }) => square(at))];
    for (const { id, at, width, height } of labels) {
        if (at.x < 0 || at.y < 0 || at.x > glass.width || at.y > glass.height) continue;
        for (const [ring, away] of RINGS_PX.entries()) {
            const wish = { label: id, x: at.x, y: at.y, width, height, away, rank: 0 };
            const [rect] = placeLabels([wish], taken, glass, new Map(), [], 1);
            if (!rect) continue;
            found.set(id, { x: rect.x, y: rect.y, isFar: ring > 0 });
            taken.push(rect);
            break;
        }
    }
    return found;
}
