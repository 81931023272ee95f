import { describe, expect, test } from 'vitest';

import type { JobShown, PointLine, ReadingLine } from '../../gen/wire';
import { differences, isTheSame, utcOf } from './differences';

const reading = (id: string, said: Partial<ReadingLine> = {}): ReadingLine =>
    ({ id, name: id, kind: 'tape', points: ['a', 'b'], value: '12 in', state: '', instrument: '', from: '', add: '', note: '', ...said }) as ReadingLine;
const point = (id: string, said: Partial<PointLine> = {}): PointLine =>
    ({ id, label: id, side: '', mirror: null, rough: ['', '', ''], note: '', ...said }) as PointLine;
const job = (readings: ReadingLine[], points: PointLine[]): JobShown => ({ readings, points }) as JobShown;

describe('what differs between then and now', () => {
    test('nothing, where nothing was done since', () => {
        const same = job([reading('r1')], [point('a')]);
        expect(isTheSame(differences(same, same))).toBe(true);
    });
    test('what was logged and made since, and what was undone', () => {
        const then = job([reading('r1'), reading('r2')], [point('a'), point('x')]);
        const now = job([reading('r1'), reading('r3')], [point('a'), point('b')]);
        expect(differences(then, now)).toEqual({
            readingsSince: ['r3'],
            readingsGone: ['r2'],
            pointsSince: ['b'],
            pointsGone: ['x'],
            changed: [],
        });
    });
    test('a value, a state and the points of a reading', () => {
        const then = job([reading('r1')], []);
        const now = job([reading('r1', { value: '13 in', state: 'kept', points: ['a', 'c'] })], []);
        expect(differences(then, now).changed).toEqual([
            {
                what: 'reading',
                name: 'r1',
                fields: [
                    { field: 'value', then: '12 in', now: '13 in' },
                    { field: 'state', then: '', now: 'kept' },
                    { field: 'points', then: 'a, b', now: 'a, c' },
                ],
            },
        ]);
    });
    test('a point is the same one under another name', () => {
        const differs = differences(job([], [point('p1', { label: 'old' })]), job([], [point('p1', { label: 'new', side: 'left' })]));
        expect(differs.pointsSince).toEqual([]);
        expect(differs.changed).toEqual([
            {
                what: 'point',
                name: 'new',
                fields: [
                    { field: 'label', then: 'old', now: 'new' },
                    { field: 'side', then: '', now: 'left' },
                ],
            },
        ]);
    });
});

test('a reading is not another one because its point was renamed', () => {
    const then = job([reading('r1', { points: ['old', 'b'] })], [point('p1', { label: 'old' })]);
    const now = job([reading('r1', { points: ['new', 'b'] })], [point('p1', { label: 'new' })]);
    expect(differences(then, now).changed.map((changed) => changed.what)).toEqual(['point']);
});

test('a moment of this device is asked for in UTC', () => {
    expect(utcOf('2026-04-03T10:15')).toBe(`${new Date('2026-04-03T10:15').toISOString().slice(0, 19)}Z`);
    expect(utcOf('')).toBeNull();
    expect(utcOf('in May')).toBeNull();
});
