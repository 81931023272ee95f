import { describe, expect, test } from 'vitest';

import type { Doubts, ReadingLine, ReadingWire } from '../../gen/wire';
import { corrected } from './correction';
import { doubted, eachOf, EVERYTHING, listed, narrowedBy, speaksOf } from './readings';

const reading = (name: string, said: Partial<ReadingLine> = {}): ReadingLine => ({
    id: name,
    name,
    kind: 'tape',
    points: ['hinge low L', 'hoop foot R'],
    value: '55 7/16 in',
    quantity: 'length',
    mm_or_deg: 1408.1,
    logged: null,
    logged_mm_or_deg: null,
    sd: '',
    instrument: 'inch tape 5 m',
    from: '',
    add: '',
    stand: '',
    state: '',
    why: '',
    epoch: '',
    by: 'Tape',
    at: '',
    note: '',
    ...said,
});
const stands = (verdict: ReadingWire['verdict'], unchecked = false): ReadingWire => ({ verdict, unchecked }) as ReadingWire;

const ALL = [
    reading('r1'),
    reading('r2', { by: 'Book', kind: 'rise', instrument: '' }),
    reading('r3', { state: 'set aside', points: ['sill mid L', 'roof front'] }),
    reading('r4', { state: 'kept' }),
    reading('r5', { logged: '41 3/8 in' }),
];
const FOUND = new Map([
    ['r1', stands('suspect')],
    ['r2', stands('fits')],
    ['r4', stands('fits')],
    ['r5', stands('fits', true)],
]);
const names = (filter: Partial<typeof EVERYTHING>, inDoubt = new Set<string>()): string[] =>
    listed(ALL, { ...EVERYTHING, ...filter }, FOUND, inDoubt).map((one) => one.name);

describe('the list of readings', () => {
    test('begins with the newest', () => {
        expect(names({})).toEqual(['r5', 'r4', 'r3', 'r2', 'r1']);
    });
    test('is narrowed to a person, an instrument, a kind', () => {
        expect(names({ by: 'Book' })).toEqual(['r2']);
        expect(names({ instrument: 'inch tape 5 m', kind: 'tape' })).toEqual(['r5', 'r4', 'r3', 'r1']);
    });
    test('is narrowed to how readings stand, by the mark that each carries', () => {
        expect(names({ state: 'suspect' })).toEqual(['r1']);
        expect(names({ state: 'set-aside' })).toEqual(['r3']);
        expect(names({ state: 'kept' })).toEqual(['r4']);
        expect(names({ state: 'unchecked' })).toEqual(['r5']);
        expect(names({ state: 'fits' })).toEqual(['r2']);
        expect(names({ state: 'corrected' })).toEqual(['r5']);
    });
    test('is narrowed to readings that a doubt is about', () => {
        const inDoubt = doubted({ doubts: [{ readings: ['r1', 'r2'] }, { readings: ['r2'] }] } as Doubts);
        expect(names({ state: 'doubted' }, inDoubt)).toEqual(['r2', 'r1']);
        expect(doubted(null).size).toBe(0);
    });
    test('finds every word that is typed, in any order', () => {
        expect(names({ search: 'ROOF mid' })).toEqual(['r3']);
        expect(names({ search: 'r4' })).toEqual(['r4']);
        expect(names({ search: 'nothing like it' })).toEqual([]);
    });
    test('counts what it is narrowed by, besides what is searched', () => {
        expect(narrowedBy({ ...EVERYTHING, search: 'roof' })).toBe(0);
        expect(narrowedBy({ ...EVERYTHING, by: 'Book', state: 'fits' })).toBe(2);
    });
    test('offers each word once', () => {
        expect(eachOf(ALL, 'by')).toEqual(['Book', 'Tape']);
        expect(eachOf(ALL, 'instrument')).toEqual(['inch tape 5 m']);
    });
});

test('a line of the history speaks of a reading by its whole name', () => {
    expect(speaksOf('logged r12: tape from hinge low L to hoop foot R', 'r12')).toBe(true);
    expect(speaksOf('corrected r120, value is 12 in', 'r12')).toBe(false);
    expect(speaksOf('undid: set aside r12, as misread', 'r12')).toBe(true);
});

describe('a correction says only what is another', () => {
    const before = reading('r1');
    const same = { value: before.value, kind: 'tape', points: before.points, from: 'hook', instrument: before.instrument, add: '' };
    test('nothing, where nothing is', () => {
        expect(corrected(before, same)).toBeNull();
        expect(corrected(before, { ...same, value: ' 55 7/16 in ' })).toBeNull();
    });
    test('the value, the points, where it was read from', () => {
        expect(corrected(before, { ...same, value: '54 7/16 in' })).toEqual({ value: '54 7/16 in' });
        expect(corrected(before, { ...same, points: ['hinge low R', 'hoop foot R'] })).toEqual({ points: ['hinge low R', 'hoop foot R'] });
        expect(corrected(before, { ...same, from: 'burn-1in' })).toEqual({ from: 'burn-1in' });
    });
    test('from the hook empties what was said before', () => {
        expect(corrected(reading('r1', { from: 'case' }), same)).toEqual({ from: '' });
    });
});
