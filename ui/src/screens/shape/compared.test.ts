import { expect, it } from 'vitest';

import type { EpochsCompared } from '../../gen/wire';
import { pointAt, shapeOf } from '../../parts/shape/fixture';
import { arrowsTimes, comparedScene, lotsOf } from './compared';

const moved = (label: string, before: [number, number, number], shift: [number, number, number], more = {}) => ({
    label,
    before,
    after: [before[0] + shift[0], before[1] + shift[1], before[2] + shift[2]] as [number, number, number],
    shift_mm: shift,
    sd_mm: [1, 1, 1] as [number, number, number],
    distance_mm: Math.hypot(...shift),
    distance_sd_mm: 1,
    chi_square: Math.hypot(...shift) ** 2,
    moved: true,
    unclear: false,
    ...more,
});
const compared: EpochsCompared = {
    before: 'bare',
    after: 'welded',
    frame: { kind: 'bench' },
    stands_still: true,
    rest_agrees: true,
    critical: 11,
    points: [
        moved('a', [0, 0, 0], [0, 4, 0]),
        moved('b', [2000, 0, 0], [0, 12, 0]),
        moved('c', [2000, 1500, 0], [0.2, 0, 0], { moved: false }),
        moved('d', [0, 1500, 0], [3, 0, 0], { moved: false, unclear: true }),
    ],
    not_compared: [{ label: 'e', why: 'only after' }],
    shape: shapeOf(
        [pointAt('a', [0, 4, 0]), pointAt('b', [2000, 12, 0]), pointAt('c', [2000, 1500, 0]), pointAt('d', [3, 1500, 0]), pointAt('e', [900, 9, 9])],
        [],
        { outline: [['a', 'b']], box: { low: [0, 0, 0], high: [2000, 1500, 9] } },
    ),
};

it('what moved is listed before what may have moved and what is not seen to move, the surest first', () => {
    const { moved, unclear, still } = lotsOf(compared);
    expect([moved, unclear, still].map((lot) => lot.map(({ label }) => label))).toEqual([['b', 'a'], ['d'], ['c']]);
});

it('before is thin, after is heavy, an arrow leads from the one to the other as often as is told', () => {
    const factor = arrowsTimes(compared);
    expect(factor).toBe(20);
    const scene = comparedScene(compared, null, 'mm');
    expect(scene.outline).toMatchObject([{ style: 'outline', a: [0, 4, 0] }]);
    expect(scene.over.filter(({ style }) => style === 'before')).toMatchObject([{ a: [0, 0, 0], b: [2000, 0, 0] }]);
    expect(scene.over.filter(({ style }) => style === 'moved').map(({ a, b }) => b[1] - a[1])).toEqual([4 * factor, 12 * factor]);
    expect(scene.over.filter(({ style }) => style === 'moved-unclear')).toHaveLength(1);
    // What is not compared is a ring without a dot.
    expect(scene.pricks.map(({ label, style }) => `${label} ${style}`)).toEqual(['a fixed', 'b fixed', 'c fixed', 'd fixed', 'e rough']);
});
