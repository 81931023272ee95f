import { expect, test } from 'vitest';

import type { JobShown, OrderWire, StartingPoint, StepWire } from '../../gen/wire';
import { axesOf, typedAxes } from '../../numbers/axes';
import { fault, newPoints, nothingPruned, rowsOf } from './hard-points';
import { groupsOf, otherEnd } from './order';
import { FIRST_MM, FOOT_MM, HEAD_MM, heightOf, MARGIN_MM, OTHERS_MM, pagesOf, PAPERS, ROW_MM, SIZE_MM } from './pages';
import { isDone, nextStep } from './steps';

const hard = (label: string, side: StartingPoint['side'], mirror: string | null, doors: StartingPoint['doors'] = [2, 4]): StartingPoint => ({
    label,
    side,
    mirror,
    group: 'floor',
    doors,
    x_mm: 100.4,
    y_mm: -20.6,
    z_mm: 0,
    hint: '',
});
const LIST = [
    hard('sill R', 'right', 'sill L'),
    hard('sill L', 'left', 'sill R'),
    hard('tail', 'centre', null),
    hard('lock pillar L', 'left', 'lock pillar R', [4]),
    hard('lock pillar R', 'right', 'lock pillar L', [4]),
];

test('a pair is one row, the left one first, and a shell has only the points of its doors', () => {
    const labels = (doors: 2 | 4) => rowsOf(LIST, 'floor', doors).map((row) => row.map((point) => point.label));
    expect(labels(2)).toEqual([['sill L', 'sill R'], ['tail']]);
    expect(labels(4)).toEqual([['sill L', 'sill R'], ['tail'], ['lock pillar L', 'lock pillar R']]);
});

test('what is left out is not added, and its partner has no partner then', () => {
    const pruning = { ...nothingPruned(), out: { 'sill R': true as const } };
    expect(newPoints(LIST, pruning, [])).toEqual([
        { label: 'sill L', side: 'left', mirror: '', x: '100 mm', y: '-21 mm', z: '0 mm' },
        { label: 'tail', side: 'centre', mirror: '', x: '100 mm', y: '-21 mm', z: '0 mm' },
    ]);
});

test('a renamed point is added by its name, and its partner knows it by that', () => {
    const pruning = { ...nothingPruned(), names: { 'sill R': ' kick plate R ' } };
    const added = newPoints(LIST, pruning, []);
    expect(added.map((point) => [point.label, point.mirror])).toEqual([
        ['kick plate R', 'sill L'],
        ['sill L', 'kick plate R'],
        ['tail', ''],
    ]);
});

test('a point that is in the job is not added again and stays the partner of the other', () => {
    const added = newPoints(LIST, nothingPruned(), ['SILL R']);
    expect(added.map((point) => [point.label, point.mirror])).toEqual([
        ['sill L', 'sill R'],
        ['tail', ''],
    ]);
});

test('two points of one name, or one of none, are told before they are added', () => {
    expect(fault([{ label: 'tail' }, { label: ' Tail' }])).toEqual({ twice: ' Tail' });
    expect(fault([{ label: ' ' }])).toEqual({ nameless: true });
    expect(fault([{ label: 'tail' }, { label: 'cowl' }])).toBeNull();
});

const step = (why: StepWire['why'], point: string | null, a: string, b: string, kind: StepWire['kind'] = 'tape'): StepWire => ({
    kind,
    a,
    b,
    point,
    why,
    unchecked: false,
});

test('steps of one point stand together under it and keep their numbers', () => {
    const steps = [
        step('base', null, 'a', 'b'),
        step('base', null, 'a', 'c'),
        step('level', null, 'a', 'b', 'rise'),
        step('holds', 'd', 'd', 'a'),
        step('checks', 'd', 'd', 'b'),
        step('checks', null, 'a', 'd'),
        step('read again', null, 'b', 'c'),
    ];
    const groups = groupsOf({ steps } as OrderWire);
    expect(groups.map((group) => [group.kind, group.point, group.lines.map((line) => line.number)])).toEqual([
        ['base', null, [1, 2]],
        ['level', null, [3]],
        ['point', 'd', [4, 5]],
        ['checks', null, [6]],
        ['again', null, [7]],
    ]);
});

test('a tape for a point is told by its other end, whichever way round it is', () => {
    expect(otherEnd(step('holds', 'd', 'd', 'a'))).toBe('a');
    expect(otherEnd(step('holds', 'd', 'a', 'd'))).toBe('a');
    expect(otherEnd(step('tells above', 'd', 'a', 'd', 'rise'))).toBeNull();
    expect(otherEnd(step('base', null, 'a', 'b'))).toBeNull();
});

test('every row falls on one page in its order, no page is too full, and there is room for others', () => {
    for (const paper of PAPERS) {
        for (const count of [0, 1, 17, 18, 19, 222]) {
            const heights = Array.from({ length: count }, (_, row) => (row % 7 === 0 ? 15.7 : ROW_MM));
            const pages = pagesOf(heights, paper);
            expect(pages.flatMap((page) => page.rows)).toEqual(heights.map((_, row) => row));
            pages.forEach((page, index) => {
                const used =
                    page.rows.reduce((sum, row) => sum + (heights[row] ?? 0), 0) +
                    (index === 0 ? FIRST_MM : 0) +
                    (page.others > 0 ? OTHERS_MM + page.others * ROW_MM : 0);
                expect(used).toBeLessThanOrEqual(SIZE_MM[paper].height - 2 * MARGIN_MM - HEAD_MM - FOOT_MM);
            });
            expect(pages[pages.length - 1]?.others).toBeGreaterThanOrEqual(3);
        }
    }
});

test('a row is high enough for a glove, and higher for a long name', () => {
    // 9 mm is what a hand in a glove writes in: common practice, no source.
    expect(heightOf(['tail', 'cowl'])).toBeGreaterThanOrEqual(9);
    expect(heightOf(['a'.repeat(100)])).toBeGreaterThan(heightOf(['a'.repeat(20)]));
});

test('axes are read back as they are typed', () => {
    for (const typed of ['three:a,b,c', 'plumb:a,b,c', 'centreline:a,b,c', 'bench', 'three:"tower, front","the ""big"" bolt",c']) {
        const axes = axesOf(typed);
        expect(axes).not.toBeNull();
        expect(axes && typedAxes(axes)).toBe(typed);
    }
    expect(axesOf('three:"tower, front","the ""big"" bolt", c')?.points).toEqual(['tower, front', 'the "big" bolt', 'c']);
    expect(axesOf(null)).toBeNull();
    expect(axesOf('sideways:a,b,c')).toBeNull();
});

test('axes are not typed while a point is missing or taken twice', () => {
    expect(typedAxes({ kind: 'three', points: ['a', 'b', ''] })).toBeNull();
    expect(typedAxes({ kind: 'three', points: ['a', 'b', 'a'] })).toBeNull();
    expect(typedAxes({ kind: 'bench', points: ['', '', ''] })).toBe('bench');
});

test('the next step is the first that is not done, and axes hold nobody up', () => {
    const job = (people: number, instruments: number, points: number): JobShown =>
        ({ people: Array(people), instruments: Array(instruments), points: Array(points), frame: null }) as unknown as JobShown;
    expect(nextStep(job(1, 0, 0))).toBe('crew');
    expect(nextStep(job(2, 0, 0))).toBe('instruments');
    expect(nextStep(job(2, 1, 3))).toBe('points');
    expect(nextStep(job(2, 1, 4))).toBe('order');
    expect(isDone('axes', job(2, 1, 4))).toBe(false);
});
