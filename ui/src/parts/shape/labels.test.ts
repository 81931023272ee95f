import { expect, it } from 'vitest';

import { type CalloutWish, placeCallouts } from './callouts';
import { seeded } from './fixture';
import { type LabelWish, overlap, placeLabels, type Rect } from './labels';

const bounds = { width: 820, height: 600 };

function wishes(random: () => number, many: number): LabelWish[] {
    return Array.from({ length: many }, (_, index) => ({
        label: `point ${index}`,
        x: bounds.width * random(),
        y: bounds.height * random(),
        width: 30 + 110 * random(),
        height: 20,
        away: 4 + 20 * random(),
        rank: random() * 3,
    }));
}

it('no name lies over another one, over a call-out or over the edge, wherever the points are', () => {
    for (let seed = 1; seed <= 150; seed += 1) {
        const random = seeded(seed);
        const points = wishes(random, 5 + Math.floor(random() * 200));
        const taken: Rect[] = Array.from({ length: 5 }, () => ({ x: 700 * random(), y: 560 * random(), width: 180, height: 36 }));
        const placed = placeLabels(points, taken, bounds, new Map(), points, 60);
        expect(placed.length).toBeGreaterThan(0);
        expect(placed.length).toBeLessThanOrEqual(60);
        const isOut = placed.some((one) => one.x < 0 || one.y < 0 || one.x + one.width > bounds.width || one.y + one.height > bounds.height);
        expect(isOut).toBe(false);
        const meets = placed.some((one, index) => [...placed.slice(index + 1), ...taken].some((other) => overlap(one, other)));
        expect(meets).toBe(false);
    }
});

it('the name of least rank finds room before the others, and a name keeps its side', () => {
    const at = { x: 400, y: 300, width: 80, height: 20, away: 6 };
    const crowd: LabelWish[] = Array.from({ length: 40 }, (_, index) => ({ ...at, label: `p${index}`, rank: index === 33 ? 0 : 2 }));
    const placed = placeLabels(crowd, [], bounds, new Map(), [], 60);
    expect(placed[0]?.label).toBe('p33');
    expect(placed.length).toBeLessThan(40);
    const [one] = placeLabels([{ ...at, label: 'one', rank: 0 }], [], bounds, new Map([['one', 2]]), [], 60);
    expect(one?.side).toBe(2);
});

it('call-outs never lie over each other or over the edge, and the gravest is always there', () => {
    for (let seed = 1; seed <= 200; seed += 1) {
        const random = seeded(seed);
        const frame = { width: 330 + 700 * random(), height: 280 + 500 * random() };
        const wanted: CalloutWish[] = Array.from({ length: 1 + Math.floor(8 * random()) }, (_, index) => ({
            key: String(index),
            x: frame.width * random(),
            y: frame.height * random(),
            width: 120 + 150 * random(),
        }));
        const placed = placeCallouts(wanted, frame, { head: 2, foot: 1 }, 96);
        expect(placed.some(({ key }) => key === '0')).toBe(true);
        for (const [index, one] of placed.entries()) {
            expect(one.x >= 0 && one.x + one.width <= frame.width + 1e-9 && one.y >= 0 && one.y + one.height <= frame.height).toBe(true);
            for (const other of placed.slice(index + 1)) expect(overlap(one, other)).toBe(false);
        }
    }
});

it('leaders of one row do not cross', () => {
    const random = seeded(5);
    for (let trial = 0; trial < 100; trial += 1) {
        const wanted = Array.from({ length: 4 }, (_, index) => ({ key: String(index), x: 800 * random(), y: 300, width: 160 }));
        const placed = placeCallouts(wanted, bounds, { head: 1, foot: 0 }).sort((a, b) => a.x - b.x);
        for (let index = 1; index < placed.length; index += 1) {
            expect(placed[index]!.toX).toBeGreaterThanOrEqual(placed[index - 1]!.toX);
            expect(placed[index]!.fromX).toBeGreaterThan(placed[index - 1]!.fromX);
        }
    }
});
