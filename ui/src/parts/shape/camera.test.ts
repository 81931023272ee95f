import { expect, it } from 'vitest';

import { type Camera, eyeOf, fitted, panned, turned, VIEWS, zoomed } from './camera';
import { seeded } from './fixture';
import type { Vec } from './vector';

const frame = { width: 800, height: 600 };
const room = { top: 60, side: 40, bottom: 50 };
const flat = (view: Camera['view']): Camera => ({ view, turn: 0, tilt: 0, target: [0, 0, 0], scale: 0.5 });

it('the plan has ahead to the right and left upwards, the side has up upwards, the end has left on the left', () => {
    const plan = eyeOf(flat('plan'), frame);
    expect(plan([100, 0, 0])).toMatchObject({ x: 450, y: 300 });
    expect(plan([0, 100, 0])).toMatchObject({ x: 400, y: 250 });
    const side = eyeOf(flat('side'), frame);
    expect(side([100, 0, 100])).toMatchObject({ x: 450, y: 250 });
    // The right side is nearer.
    expect(side([0, -100, 0]).depth).toBeGreaterThan(side([0, 100, 0]).depth);
    const end = eyeOf(flat('end'), frame);
    expect(end([0, 100, 0])).toMatchObject({ x: 350, y: 300 });
    expect(end([-100, 0, 0]).depth).toBeGreaterThan(end([100, 0, 0]).depth);
});

it('the axes of the view in space stand square on each other, however it is turned', () => {
    const random = seeded(7);
    for (let turn = 0; turn < 200; turn += 1) {
        const camera: Camera = { view: 'space', turn: 9 * random(), tilt: 3 * (random() - 0.5), target: [10, 20, 30], scale: 1 };
        const eye = eyeOf(camera, frame);
        const [a, b]: [Vec, Vec] = [
            [random() * 900, random() * 900, random() * 900],
            [random() * 900, random() * 900, random() * 900],
        ];
        const [p, q] = [eye(a), eye(b)];
        const onScreen = Math.hypot(p.x - q.x, p.y - q.y, p.depth - q.depth);
        expect(onScreen).toBeCloseTo(Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]), 9);
    }
});

it('a fitted drawing has every point in its frame, with the room that is kept', () => {
    const random = seeded(3);
    const places = Array.from({ length: 60 }, (): Vec => [4000 * random(), 1600 * random(), 1200 * random()]);
    for (const view of VIEWS) {
        const eye = eyeOf(fitted(view, places, frame, room), frame);
        for (const place of places) {
            const { x, y } = eye(place);
            expect(x).toBeGreaterThanOrEqual(room.side - 1e-6);
            expect(x).toBeLessThanOrEqual(frame.width - room.side + 1e-6);
            expect(y).toBeGreaterThanOrEqual(room.top - 1e-6);
            expect(y).toBeLessThanOrEqual(frame.height - room.bottom + 1e-6);
        }
    }
});

it('what lies under a finger stays under it while the drawing is enlarged or moved', () => {
    const camera = fitted('space', [[0, 0, 0], [3000, 1500, 1000]], frame, room);
    const place: Vec = [700, 300, 900];
    const before = eyeOf(camera, frame)(place);
    const after = eyeOf(zoomed(camera, 1.7, before, frame), frame)(place);
    expect(after.x).toBeCloseTo(before.x, 6);
    expect(after.y).toBeCloseTo(before.y, 6);
    const moved = eyeOf(panned(camera, 31, -17), frame)(place);
    expect([moved.x - before.x, moved.y - before.y]).toEqual([expect.closeTo(31, 6), expect.closeTo(-17, 6)]);
});

it('what is nearer follows the finger that turns it, and flat views do not turn', () => {
    const camera: Camera = { view: 'space', turn: 0.8, tilt: 0.4, target: [0, 0, 0], scale: 1 };
    const towards: Vec = [Math.cos(0.4) * Math.cos(0.8), Math.cos(0.4) * Math.sin(0.8), Math.sin(0.4)];
    const near: Vec = [500 * towards[0], 500 * towards[1], 500 * towards[2]];
    const seen = eyeOf(turned(camera, 20, 12), frame)(near);
    expect(seen.x).toBeGreaterThan(400);
    expect(seen.y).toBeGreaterThan(300);
    const plan = flat('plan');
    expect(turned(plan, 20, 12)).toBe(plan);
});
