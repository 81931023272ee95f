// The outline of an ellipsoid in a parallel projection. The ellipsoid is the unit ball under A, whose columns are its semi-axes;
// the projection P takes it to the unit ball under PA, whose outline is x'(PAA'P')⁻¹x = 1: exactly an ellipse.

import type { Axes, Frame } from './camera';
import { dot, type Vec } from './vector';

/** Semi-axes of an ellipse and the angle of the longer one on the screen, from the right towards the foot, in degrees. */
export interface Ellipse {
    long: number;
    short: number;
    angle: number;
}

/** The symmetric matrix PAA'P', in px², with y towards the foot of the screen: [xx, xy, yy]. */
export function spread(semiAxes: readonly Vec[], { right, up }: Pick<Axes, 'right' | 'up'>, pxPerMm: number): [number, number, number] {
    let [xx, xy, yy] = [0, 0, 0];
    for (const axis of semiAxes) {
        const x = pxPerMm * dot(right, axis);
        const y = -pxPerMm * dot(up, axis);
        xx += x * x;
        xy += x * y;
        yy += y * y;
    }
    return [xx, xy, yy];
}

/** The ellipse of such a matrix: its eigenvalues are the squares of the semi-axes. */
export function ellipseOf([xx, xy, yy]: readonly [number, number, number]): Ellipse {
    const mean = (xx + yy) / 2;
    const apart = Math.hypot((xx - yy) / 2, xy);
    const angle = (Math.atan2(2 * xy, xx - yy) / 2) * (180 / Math.PI);
    return { long: Math.sqrt(mean + apart), short: Math.sqrt(Math.max(0, mean - apart)), angle };
}

const FACTORS = [1, 2, 3, 5, 7, 10, 14, 20, 30, 50, 70, 100, 140, 200, 300, 500, 700, 1000];
/** The semi-axis that a middling ellipsoid should have, as a share of the shorter side of the drawing, and at most, px. */
const SHARE = 1 / 45;
const MOST = 12;

/** How much larger ellipsoids are drawn, so that a middling one is seen at this scale: a round number. */
export function magnification(longest: readonly number[], pxPerMm: number, { width, height }: Frame): number {
    const sorted = longest.filter((mm) => mm > 0).sort((a, b) => a - b);
    const median = sorted[Math.floor(sorted.length / 2)];
    if (median === undefined) return 1;
    const wanted = Math.min(MOST, SHARE * Math.min(width, height)) / (median * pxPerMm);
    return FACTORS.findLast((factor) => factor <= wanted * 1.1) ?? 1;
}
