import { describe, expect, test } from 'vitest';

import type { Doubts, Next, PointLine, PointWire, ReadingLine } from '../../gen/wire';
import { changes, doubted, listed, type PointFilter, saidOf, touching, weakest } from './points';
import { nextFor } from '../../parts/next';

const point = (label: string, said: Partial<PointLine> = {}): PointLine => ({
    id: label,
    label,
    joined: [],
    side: '',
    mirror: null,
    rough: ['', '', ''],
    fixed: '',
    note: '',
    readings: 0,
    ...said,
});
const place = (status: PointWire['status'], sds: (number | null)[] = [1, 1, 1]): PointWire =>
    ({ status, sd_x_mm: sds[0], sd_y_mm: sds[1], sd_z_mm: sds[2] }) as PointWire;

const ALL = [point('sill mid L'), point('seat bolt R', { note: 'rear one' }), point('jack pad L', { joined: ['pad left'] })];
const PLACES = new Map([
    ['sill mid L', place('fixed')],
    ['seat bolt R', place('loose')],
    ['jack pad L', place('two-valued')],
]);
const labels = (filter: PointFilter, search = '', inDoubt = new Set<string>(), unread = new Set<string>()): string[] =>
    listed(ALL, filter, search, PLACES, inDoubt, unread).map((one) => one.label);

describe('the list of points', () => {
    test('is in the order in which they were made', () => {
        expect(labels('all')).toEqual(['sill mid L', 'seat bolt R', 'jack pad L']);
    });
    test('is narrowed to those that can move or have two places', () => {
        expect(labels('loose')).toEqual(['seat bolt R', 'jack pad L']);
    });
    test('tells those that nobody has read from those that can move', () => {
        const unread = new Set(['seat bolt R']);
        expect(labels('unread', '', new Set(), unread)).toEqual(['seat bolt R']);
        expect(labels('loose', '', new Set(), unread)).toEqual(['jack pad L']);
        const waiting = { doubts: [{ kind: 'not-read', points: ['seat bolt R'], pair: null }] } as unknown as Doubts;
        expect(doubted(waiting).size).toBe(0);
    });
    test('is narrowed to those that a doubt is about, by a mirror pair too', () => {
        const pair = { left: 'sill mid L', right: 'sill mid R' };
        const inDoubt = doubted({ doubts: [{ points: ['jack pad L'], pair: null }, { points: [], pair }] } as unknown as Doubts);
        expect(labels('doubted', '', inDoubt)).toEqual(['sill mid L', 'jack pad L']);
    });
    test('finds a point by its notes and by what was joined into it', () => {
        expect(labels('all', 'rear')).toEqual(['seat bolt R']);
        expect(labels('all', 'pad left')).toEqual(['jack pad L']);
    });
});

test('the readings that touch a point come newest first', () => {
    const readings = [{ name: 'r1', points: ['a', 'b'] }, { name: 'r2', points: ['b', 'c'] }, { name: 'r3', points: ['a', 'c'] }];
    expect(touching(readings as ReadingLine[], 'a').map((reading) => reading.name)).toEqual(['r3', 'r1']);
});

test('the next reading for a point is the one that is meant for it, else the best that ends at it', () => {
    const next = [
        { a: 'a', b: 'b', point: 'b' },
        { a: 'c', b: 'a', point: 'a' },
    ] as Next[];
    expect(nextFor('a', next)).toBe(next[1]);
    expect(nextFor('c', next)).toBe(next[1]);
    expect(nextFor('d', next)).toBeNull();
});

test('the weakest direction is that of the largest deviation, and none of a point that is not pinned down', () => {
    expect(weakest(place('fixed', [1, 3, 2]))).toBe(1);
    expect(weakest(place('loose', [1, null, 2]))).toBeNull();
});

describe('what is changed of a point', () => {
    const before = point('seat bolt R', { side: 'right', rough: ['10 in', '', ''] });
    test('is said in as few acts as it needs', () => {
        expect(changes(before, saidOf(before))).toEqual([]);
        expect(changes(before, { ...saidOf(before), side: 'left', x: '' })).toEqual([
            { do: 'describe-point', point: 'seat bolt R', side: 'left', x: '' },
        ]);
    });
    test('is described by its old name before it gets its new one', () => {
        expect(changes(before, { ...saidOf(before), label: 'seat bolt rear R', note: 'rear one' })).toEqual([
            { do: 'describe-point', point: 'seat bolt R', note: 'rear one' },
            { do: 'rename-point', point: 'seat bolt R', to: 'seat bolt rear R' },
        ]);
    });
    test('is nothing where the name is emptied', () => {
        expect(changes(before, { ...saidOf(before), label: '  ' })).toEqual([]);
    });
});
