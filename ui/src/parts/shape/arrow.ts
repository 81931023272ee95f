// Arrowheads of the flat drawing.

import { ARROW } from './styles';

interface At {
    x: number;
    y: number;
}

/** A path of two strokes that meet at the end of a line. */
export function arrowhead(from: At, to: At): string {
    const long = Math.hypot(to.x - from.x, to.y - from.y) || 1;
    const [ux, uy] = [(to.x - from.x) / long, (to.y - from.y) / long];
    const at = (side: number): string =>
        `${(to.x - ARROW.long * ux - side * ARROW.half * uy).toFixed(1)} ${(to.y - ARROW.long * uy + side * ARROW.half * ux).toFixed(1)}`;
    return `M${at(1)}L${to.x.toFixed(1)} ${to.y.toFixed(1)}L${at(-1)}`;
}
