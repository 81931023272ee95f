import { expect, it } from 'vitest';

import { eyeOf, fitted } from './camera';
import { ALL_LINES, narrows, passes } from './filter';
import { lineOf, pointAt, shapeOf } from './fixture';
import { hitOf } from './hit';
import { floorOf, NOTHING_PICKED, sceneOf, SHOWN_AT_FIRST } from './scene';

const a = pointAt('a', [0, 0, 0], { readings: ['r1', 'r2', 'r4'] });
const b = pointAt('b', [1000, 0, 0], { mirror: 'c' });
const c = pointAt('c', [1000, 800, 0], { mirror: 'b' });
const loose = pointAt('d', [500, 400, 300], { status: 'loose', axes_95_mm: null, directions: [[0, 0, 1]], doubt: 'loose' });
const two = pointAt('e', [0, 800, 100], {
    status: 'two-valued',
    axes_95_mm: null,
    places: [
        [0, 800, 100],
        [0, 800, 300],
    ],
});
const shape = shapeOf(
    [a, b, c, loose, two, pointAt('f', null, { status: 'unsolved' })],
    [
        lineOf('r1', ['a', 'b'], [[0, 0, 0], [1000, 0, 0]]),
        lineOf('r2', ['a', 'c'], [[0, 0, 0], [1000, 800, 0]], { state: 'suspect', by: 'Tape' }),
        lineOf('r3', ['b', 'c'], [[1000, 0, 0], [1000, 800, 0]], { state: 'unclear' }),
        lineOf('r4', ['a', 'e'], [[0, 0, 0], [0, 800, 100]], { state: 'set-aside' }),
        lineOf('r5', ['a'], []),
    ],
    { outline: [['a', 'b']] },
);
const drawn = (shown = SHOWN_AT_FIRST, filter = ALL_LINES, picked = NOTHING_PICKED) => sceneOf(shape, shown, filter, picked, 'mm');
const styles = (strokes: { reading?: string; style: string }[]) => strokes.filter(({ reading }) => reading).map(({ reading, style }) => `${reading} ${style}`);

it('what fits falls back, what is in doubt has its own line, a suspect its flag', () => {
    const scene = drawn();
    expect(styles(scene.under)).toEqual(['r1 faint']);
    expect(styles(scene.over)).toEqual(['r2 suspect', 'r3 unclear']);
    expect(scene.flags).toEqual([{ at: [420, 336, 0], reading: 'r2' }]);
});

it('a loose point has arrows along its ways and no ellipsoid, a point with two places both, joined by dots', () => {
    const scene = drawn();
    const prick = (label: string) => scene.pricks.filter((one) => one.label === label);
    expect(prick('d')).toMatchObject([{ style: 'loose', axes: [] }]);
    expect(prick('e').map(({ style }) => style)).toEqual(['two-places', 'other-place']);
    expect(scene.over.map(({ style }) => style)).toContain('loose');
    expect(scene.over.filter(({ style }) => style === 'two-places')).toMatchObject([{ a: [0, 800, 100], b: [0, 800, 300] }]);
    expect(prick('a')[0]?.axes).toHaveLength(3);
    // No place, nothing to draw.
    expect(prick('f')).toEqual([]);
});

it('the lines of the picked point are in dye over a halo, and its doubts keep their own line', () => {
    const scene = drawn(SHOWN_AT_FIRST, ALL_LINES, { points: ['a'], reading: null });
    expect(styles(scene.over)).toEqual(['r1 halo', 'r1 picked', 'r2 halo', 'r2 suspect', 'r3 unclear', 'r4 halo', 'r4 aside']);
    expect(scene.pricks.find(({ label }) => label === 'a')?.style).toBe('picked');
});

it('two picked points are joined by the line of their distance', () => {
    const scene = drawn(SHOWN_AT_FIRST, ALL_LINES, { points: ['a', 'c'], reading: null });
    expect(scene.over.at(-1)).toMatchObject({ style: 'distance', a: [0, 0, 0], b: [1000, 800, 0] });
});

it('a filter leaves its readings alone and draws them plainly, those set aside too', () => {
    expect(styles(drawn(SHOWN_AT_FIRST, { ...ALL_LINES, by: 'Book' }).under)).toEqual(['r1 plain']);
    expect(styles(drawn(SHOWN_AT_FIRST, { ...ALL_LINES, by: 'Book' }).over)).toEqual(['r3 unclear', 'r4 aside']);
    expect(styles(drawn(SHOWN_AT_FIRST, { ...ALL_LINES, state: 'suspect' }).over)).toEqual(['r2 suspect']);
    expect(narrows(ALL_LINES)).toBe(false);
    const [r1] = shape.lines;
    expect(passes(r1!, { ...ALL_LINES, instrument: 'level' })).toBe(false);
});

it('what is switched off is not drawn', () => {
    const none = { readings: false, ellipsoids: false, labels: false, pairs: false, plane: false, floor: false, doubts: false };
    const scene = drawn(none);
    expect(scene.under).toEqual([]);
    expect(styles(scene.over)).toEqual([]);
    expect(scene.pricks.every(({ axes }) => axes.length === 0)).toBe(true);
    expect(drawn({ ...none, pairs: true }).under).toMatchObject([{ style: 'pair', a: [1000, 0, 0] }]);
});

it('the floor has squares of 12 inches or 250 mm beneath the lowest point and beyond the shell', () => {
    const strokes = floorOf({ low: [-100, 0, 40], high: [1000, 800, 900] }, 250);
    expect(strokes.every(({ a, b }) => a[2] === 40 && b[2] === 40)).toBe(true);
    const across = strokes.filter(({ a, b }) => a[0] === b[0]).map(({ a }) => a[0]);
    expect(across[0]).toBeLessThanOrEqual(-100);
    expect(across.at(-1)).toBeGreaterThanOrEqual(1000);
    expect(across[1]! - across[0]!).toBe(250);
    expect(drawn().square).toBe(250);
    expect(sceneOf(shape, SHOWN_AT_FIRST, ALL_LINES, NOTHING_PICKED, 'in').square).toBeCloseTo(304.8, 9);
});

it('a touch means the nearest point in reach, else the nearest line, else nothing', () => {
    const scene = drawn();
    const frame = { width: 700, height: 600 };
    const camera = fitted('plan', scene.pricks.map(({ at }) => at), frame, { top: 80, side: 80, bottom: 80 });
    const eye = eyeOf(camera, frame);
    const at = eye([0, 0, 0]);
    expect(hitOf(scene, eye, at.x + 12, at.y - 9)).toEqual({ point: 'a' });
    const between = eye([250, 0, 0]);
    expect(hitOf(scene, eye, between.x, between.y + 6)).toEqual({ reading: 'r1' });
    expect(hitOf(scene, eye, 4, 4)).toBeNull();
});
