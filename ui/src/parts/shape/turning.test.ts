import { expect, it } from 'vitest';

import { type Axes, axesOf, type Camera, type View, VIEWS } from './camera';
import { onTheWay, turnedAxes } from './turning';
import { cross, dot, type Vec } from './vector';

const camera = (view: View, turn = 0.9, tilt = 0.5): Camera => ({ view, turn, tilt, target: [0, 0, 0], scale: 0.5 });
const all = (axes: Axes): Vec[] => [axes.right, axes.up, axes.near];
const near = (a: Vec, b: Vec): void => a.forEach((part, axis) => expect(part).toBeCloseTo(b[axis]!, 9));
/** By how much a turn turns, radians. */
const angle = (from: Axes, to: Axes): number => Math.acos(Math.min(1, (all(from).reduce((sum, a, at) => sum + dot(a, all(to)[at]!), 0) - 1) / 2));

it('begins and ends where the two views are, whichever they are', () => {
    for (const from of VIEWS) {
        for (const to of VIEWS) {
            const [a, b] = [axesOf(camera(from)), axesOf(camera(to))];
            all(turnedAxes(a, b, 0)).forEach((axis, at) => near(axis, from === to ? all(b)[at]! : all(a)[at]!));
            all(turnedAxes(a, b, 1)).forEach((axis, at) => near(axis, all(b)[at]!));
        }
    }
});

it('stands square on the way, and half way has turned by half the angle', () => {
    const [plan, end] = [axesOf(camera('plan')), axesOf(camera('end'))];
    const half = turnedAxes(plan, end, 0.5);
    near(cross(half.right, half.up), half.near);
    expect(dot(half.right, half.up)).toBeCloseTo(0, 12);
    // From plan to end all three axes are exchanged in turn: a third of a whole turn.
    expect(angle(plan, end)).toBeCloseTo((2 * Math.PI) / 3, 9);
    expect(angle(plan, half)).toBeCloseTo(Math.PI / 3, 9);
});

it('finds its way where two axes come to lie the other way round', () => {
    const from = axesOf(camera('side'));
    const to: Axes = { right: [-1, 0, 0], up: [0, 0, 1], near: [0, 1, 0] };
    const half = turnedAxes(from, to, 0.5);
    near(half.up, [0, 0, 1]);
    expect(Math.abs(half.right[1])).toBeCloseTo(1, 9);
    all(turnedAxes(from, to, 1)).forEach((axis, at) => near(axis, all(to)[at]!));
});

it('takes its middle and its scale along', () => {
    const way = onTheWay({ ...camera('space'), scale: 0.1, target: [0, 0, 100] }, { ...camera('side'), scale: 0.4 }, 0.5);
    expect(way.target).toEqual([0, 0, 50]);
    expect(way.scale).toBeCloseTo(0.2, 12);
});
