import { expect, it } from 'vitest';

import { axesOf } from './camera';
import { ellipseOf, magnification, spread } from './ellipse';
import { seeded } from './fixture';
import { cross, dot, plus, times, unit, type Vec } from './vector';

const random = seeded(11);
const between = (low: number, high: number): number => low + (high - low) * random();

/** Three directions square on each other. */
function directions(): [Vec, Vec, Vec] {
    const a = unit([between(-1, 1), between(-1, 1), between(-1, 1)]);
    const b = unit(cross(a, [between(-1, 1), between(-1, 1), between(-1, 1)]));
    return [a, b, cross(a, b)];
}

// The formula is that of any textbook on normal distributions, from memory: the projection P of the ellipsoid x'M⁻¹x = 1 is
// x'(PMP')⁻¹x = 1. Here the outline is held against points of the surface, which are made without it.
it('the outline of an ellipsoid is where its surface ends, seen from anywhere', () => {
    for (let trial = 0; trial < 40; trial += 1) {
        const [d1, d2, d3] = directions();
        const semiAxes: Vec[] = [times(d1, between(1, 40)), times(d2, between(1, 40)), times(d3, between(0, 20))];
        const axes = axesOf({ view: 'space', turn: between(0, 7), tilt: between(-1.5, 1.5) });
        const scale = between(0.2, 5);
        const { long, short, angle } = ellipseOf(spread(semiAxes, axes, scale));
        const [cos, sin] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
        let outermost = 0;
        const reached = new Float64Array(24);
        const STEPS = 140;
        for (let i = 0; i <= STEPS; i += 1) {
            for (let j = 0; j < 2 * STEPS; j += 1) {
                const [theta, phi] = [(Math.PI * i) / STEPS, (Math.PI * j) / STEPS];
                const ball: Vec = [Math.sin(theta) * Math.cos(phi), Math.sin(theta) * Math.sin(phi), Math.cos(theta)];
                const place = plus(plus(times(semiAxes[0]!, ball[0]), times(semiAxes[1]!, ball[1])), times(semiAxes[2]!, ball[2]));
                const [x, y] = [scale * dot(axes.right, place), -scale * dot(axes.up, place)];
                // In the axes of the ellipse, as shares of its semi-axes.
                const [u, v] = [(cos * x + sin * y) / long, (-sin * x + cos * y) / short];
                const share = Math.hypot(u, v);
                outermost = Math.max(outermost, share);
                const sector = Math.floor(((Math.atan2(v, u) + Math.PI) / (2 * Math.PI)) * 24) % 24;
                reached[sector] = Math.max(reached[sector]!, share);
            }
        }
        // Nothing of the surface lies outside, and in every direction it comes up to the outline.
        expect(outermost).toBeLessThan(1 + 1e-9);
        expect(Math.min(...reached)).toBeGreaterThan(0.995);
    }
});

it('an ellipsoid that is flat, a needle or a dot has an outline too', () => {
    const axes = axesOf({ view: 'plan', turn: 0, tilt: 0 });
    expect(ellipseOf(spread([[4, 0, 0], [0, 0, 0], [0, 0, 0]], axes, 2))).toEqual({ long: 8, short: 0, angle: 0 });
    expect(ellipseOf(spread([[0, 0, 9], [0, 0, 0], [0, 0, 0]], axes, 2))).toMatchObject({ long: 0, short: 0 });
    // The longer axis points to the left front, which is up on the screen.
    expect(ellipseOf(spread([[3, 3, 0], [1, -1, 0], [0, 0, 1]], axes, 1)).angle).toBeCloseTo(-45, 9);
});

it('ellipsoids are drawn larger by a round number, never smaller, and less so in a small frame', () => {
    const large = { width: 800, height: 620 };
    const times = magnification([2, 3, 4], 0.3, large);
    expect(times).toBe(14);
    expect(magnification([2, 3, 4], 0.3, { width: 360, height: 300 })).toBeLessThan(times);
    expect(magnification([500, 800], 0.3, large)).toBe(1);
    expect(magnification([], 0.3, large)).toBe(1);
});
