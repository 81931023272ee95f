// The way from one view to another: the drawing turns about one axis, and its middle and its scale go along.

import { type Axes, axesOf, type Camera } from './camera';
import { cross, dot, minus, plus, times, unit, type Vec } from './vector';

/** How long a view takes to turn into another. */
export const TURNS_IN_MS = 200;

/** Quick at first, slow to come to rest. */
export const easedOut = (part: number): number => 1 - (1 - part) ** 3;

/** A camera on the way: 0 is where it comes from, 1 where it goes. */
export function onTheWay(from: Camera, to: Camera, part: number): Camera {
    const left = 1 - part;
    return {
        ...to,
        target: plus(times(from.target, left), times(to.target, part)),
        scale: from.scale ** left * to.scale ** part,
        axes: turnedAxes(axesOf(from), axesOf(to), part),
    };
}

/** Axes turned by a part of what turns one set into the other, the shorter way round. */
export function turnedAxes(from: Axes, to: Axes, part: number): Axes {
    const pairs = [
        [from.right, to.right],
        [from.up, to.up],
        [from.near, to.near],
    ] as const;
    // The trace of a turn is 1 + 2 cos, and what is skew in it is the axis times 2 sin (Rodrigues' formula).
    const cosine = Math.max(-1, Math.min(1, (pairs.reduce((sum, [a, b]) => sum + dot(a, b), 0) - 1) / 2));
    const skew = pairs.reduce<Vec>((sum, [a, b]) => plus(sum, cross(a, b)), [0, 0, 0]);
    const about = dot(skew, skew) > 1e-12 ? unit(skew) : axisOfHalfTurn(pairs);
    if (!about) return to;
    const angle = Math.acos(cosine) * part;
    const turn = (a: Vec): Vec =>
        plus(plus(times(a, Math.cos(angle)), times(cross(about, a), Math.sin(angle))), times(about, dot(about, a) * (1 - Math.cos(angle))));
    return { right: turn(from.right), up: turn(from.up), near: turn(from.near) };
}

/** What does not move when two axes come to lie the other way round; nothing where no axis moves at all. */
function axisOfHalfTurn(pairs: readonly (readonly [Vec, Vec])[]): Vec | null {
    if (pairs.every(([a, b]) => dot(minus(a, b), minus(a, b)) < 1e-12)) return null;
    const sums = pairs.map(([a, b]) => plus(a, b)).sort((a, b) => dot(b, b) - dot(a, a));
    return unit(sums[0]!);
}
