import { describe, expect, test } from 'vitest';

import type { CheckedShare, Doubt, ReadingLine } from '../../gen/wire';
import type { Phrase } from '../phrase';
import { doubts } from './doubts';

const INCH = 25.4;
const BLANK: Doubt = {
    kind: 'suspect',
    readings: [],
    points: [],
    quantity: 'length',
    amount: null,
    way: null,
    expected: null,
    expected_sd: null,
    slips: [],
    none_of_these: null,
    directions: [],
    places: null,
    moves: [],
    held_out: true,
    cause: null,
    register: null,
    values: [],
    tapes: 0,
    others: 0,
    slip: null,
    pair: null,
    pairs: [],
    racked: null,
    twisted: null,
    said: null,
    settle: { do: 'look' },
};
const line = { kind: 'tape', points: ['hinge low L', 'hoop foot R'], mm_or_deg: 55.4375 * INCH, quantity: 'length', value: '55 7/16 in' };
const known = (name: string): ReadingLine | undefined => (name === '' ? undefined : ({ ...line, name } as ReadingLine));
const plain = (phrase: Phrase): string =>
    phrase
        .map((piece) => {
            if (typeof piece === 'string') return piece;
            if ('length' in piece) return `<${Number((piece.length / INCH).toFixed(4))}>`;
            if ('angle' in piece) return `<${piece.angle}°>`;
            if ('half' in piece) return `±<${Number((piece.half / INCH).toFixed(4))}>`;
            return 'typed' in piece ? piece.typed : piece.name;
        })
        .join('');
const told = (doubt: Partial<Doubt>): [string, string, string] => {
    const whole = { ...BLANK, ...doubt };
    return [plain(doubts.headline(whole, known)), plain(doubts.whyOf(whole, known)), doubts.act(whole)];
};

describe('each kind of doubt says what is so, where, and what settles it', () => {
    test('a suspect', () => {
        const settle = { do: 'read-again', readings: ['r1'] } as const;
        expect(told({ readings: ['r1'], amount: INCH, way: 'long', settle: { ...settle, readings: ['r1'] } })).toEqual([
            'Off by <1> long',
            'hinge low L to hoop foot R, logged <55.4375>',
            'Read again',
        ]);
    });
    test('a suspect angle says which way in its own words', () => {
        expect(told({ quantity: 'angle', amount: 2.1, way: 'narrow' })[0]).toBe('Off by <2.1°> too narrow');
        expect(told({ quantity: 'angle', amount: 2.1, way: 'more' })[0]).toBe('Off by <2.1°> too much');
    });
    test('readings with one cause', () => {
        const readings = ['r1', 'r2', 'r3'];
        expect(told({ kind: 'shared-cause', readings, amount: INCH, way: 'long', cause: 'whole-sheet', settle: { do: 'say-from', from: 'burn-1in', readings } })).toEqual([
            'Three readings are all <1> long',
            'r1, r2 and r3. Until it is settled they count for nothing in the points.',
            'Say where from',
        ]);
        expect(told({ kind: 'shared-cause', points: ['a', 'b'], readings, cause: 'mirror-point' })[0]).toBe(
            'a and b, left and right, are swapped in three readings',
        );
        expect(told({ kind: 'shared-cause', points: ['a'], readings, cause: 'moved-mark' })[0]).toBe('The mark of a moved');
    });
    test('a group of which one is off', () => {
        expect(told({ kind: 'unclear', readings: ['r1', 'r2'], amount: 0.625 * INCH, settle: { do: 'read-again', readings: ['r1', 'r2'] } })).toEqual([
            'One of two is off by about <0.625>',
            'hinge low L to hoop foot R, or hinge low L to hoop foot R',
            'Read both again',
        ]);
    });
    test('a loose point', () => {
        expect(told({ kind: 'loose', points: ['seat bolt R'], directions: [[0.99, 0.05, 0]], tapes: 2, settle: { do: 'read-next', kind: 'tape', a: 'seat bolt R', b: 'sill mid L' } })).toEqual([
            'seat bolt R can swing',
            'Only two tapes hold it. It can move ahead and back.',
            'Tape a third',
        ]);
        expect(told({ kind: 'loose', points: ['a'], directions: [[1, 0, 0], [0, 1, 0], [0, 0, 1]], others: 1 })[0]).toBe(
            'a can be anywhere',
        );
    });
    test('a point of which no reading counts', () => {
        expect(told({ kind: 'loose', points: ['a'], directions: [[1, 0, 0], [0, 1, 0], [0, 0, 1]] }).slice(0, 2)).toEqual([
            'a can be anywhere',
            'No reading that counts holds it. Tape it from at least four points.',
        ]);
    });
    test('points that nobody has read', () => {
        const settle: Doubt['settle'] = { do: 'read-next', kind: 'tape', a: 'a', b: 'e' };
        expect(told({ kind: 'not-read', points: ['a'], settle })).toEqual(['a is not read yet', 'Tape it from at least four points.', 'Tape it']);
        expect(told({ kind: 'not-read', points: ['a', 'b', 'c', 'd', 'f'], settle })).toEqual([
            '5 points not read yet',
            'a, b, c and 2 more. Tape each from at least four points.',
            'Tape the next',
        ]);
    });
    test('a point that readings of several kinds hold', () => {
        expect(told({ kind: 'loose', points: ['a'], directions: [[0, 0, 1]], tapes: 1, others: 1 })[1]).toBe(
            '1 tape and 1 other reading do not pin it down. It can move up and down.',
        );
    });
    test('a point with two places', () => {
        const places: Doubt['places'] = [[900, 500, -40], [902, 499, 55.25]];
        expect(told({ kind: 'two-places', points: ['jack pad L'], places, settle: { do: 'read-next', kind: 'tape', a: 'a', b: 'b' } })).toEqual([
            'jack pad L has two places',
            'They lie <3.75> apart, one above the other.',
            'Tape once more',
        ]);
        expect(told({ kind: 'two-places', points: ['jack pad L'], places, amount: 4 * INCH })[1]).toBe(
            'They lie <4> apart, one above the other.',
        );
    });
    test('points that nothing joins to the rest', () => {
        expect(told({ kind: 'islands', points: ['a', 'b', 'c', 'd', 'e'] }).slice(0, 2)).toEqual([
            '5 points not joined to the rest',
            'a, b, c and 2 more. Tape at least six lines across.',
        ]);
    });
    test('a shell that may be its mirror image', () => {
        expect(told({ kind: 'mirror-image', settle: { do: 'say-above' } })[2]).toBe('Say what is above');
    });
    test('devices that disagree', () => {
        const values = ['46 15/16 in', '46 9/16 in'].map((shown) => ({ value: shown, shown, by: 'Book', at: '' }));
        expect(told({ kind: 'differs', readings: ['r1'], values, settle: { do: 'choose', register: 'x' } })).toEqual([
            'The devices disagree',
            'hinge low L to hoop foot R: 46 15/16 in or 46 9/16 in',
            'Choose one',
        ]);
    });
    test('a reading that fits poorly', () => {
        expect(told({ kind: 'look-again', readings: ['r1'], amount: INCH / 8, way: 'short' })[0]).toBe(
            'Fits poorly, <0.125> short',
        );
    });
    test('a reading that nothing checks', () => {
        const settle = { do: 'read-next', kind: 'tape', a: 'a', b: 'b' } as const;
        expect(told({ kind: 'unchecked', readings: ['r1'], slip: (15 / 16) * INCH, settle })).toEqual([
            'Nothing checks hinge low L to hoop foot R',
            'A slip of up to <0.9375> would not show.',
            'Add a check',
        ]);
        expect(told({ kind: 'unchecked', readings: ['r1'], slip: null })[1]).toBe('No slip in it would show.');
    });
    test('a mirror pair that is not alike', () => {
        const pair = { left: 'rail horn L', right: 'rail horn R', off_mm: [-9.525, 1, 2] as [number, number, number], sd_mm: [2, 2, 2] as [number, number, number] };
        expect(told({ kind: 'not-straight', pair, pairs: [pair] }).slice(0, 2)).toEqual([
            'rail horn R sits back',
            '<0.375> behind the mirror image of rail horn L, ±<0.1543>. The readings cannot explain it.',
        ]);
    });
    test('a racked and a twisted shell', () => {
        const said = 'Racked: the left side sits 0.2 in ahead of the right one, ± 0.1 in.';
        const amount = { value: 5, sd: 1, significant: true };
        const accept = { kind: 'not-straight', said, settle: { do: 'accept' } } as const;
        expect(told({ ...accept, racked: amount })).toEqual(['The shell is racked', said, 'Look, then accept']);
        expect(told({ ...accept, racked: amount, twisted: amount })[0]).toBe('The shell is racked and twisted');
        const pair = { left: 'a L', right: 'a R', off_mm: [-9, 1, 2] as [number, number, number], sd_mm: [2, 2, 2] as [number, number, number] };
        expect(told({ ...accept, pair, pairs: [pair, pair] }).slice(0, 2)).toEqual([
            '2 pairs are not alike',
            '2 pairs of points are not alike, a R most surely. The readings cannot explain it.',
        ]);
    });
    test('what was typed and cannot be used', () => {
        expect(told({ kind: 'sheet-problem', said: 'r006: no value' })[1]).toBe('r006: no value');
    });
});

describe('with no doubts, it says what was checked and what was not', () => {
    const share: CheckedShare = {
        accepted: null,
        readings: 170,
        used: 169,
        checked: 169,
        unchecked: 0,
        held_out: 0,
        set_aside: 1,
        kept: 0,
        points: 40,
        least_checked: { reading: 'r15', slip: 0.625 * INCH, quantity: 'length' },
    };
    test('all are checked by others', () => {
        expect(plain(doubts.none.checked(share))).toBe(
            '169 readings, each checked by others; the least checked, r15, would hide a slip of <0.625>.',
        );
        expect(doubts.none.left(share)).toBe('Besides: 1 set aside.');
    });
    test('some are checked by nothing', () => {
        expect(plain(doubts.none.checked({ ...share, checked: 167, unchecked: 2 }))).toMatch(
            /^169 readings: 167 checked by others, 2 by nothing; the least checked/,
        );
    });
    test('none is', () => {
        expect(plain(doubts.none.checked({ ...share, checked: 0, unchecked: 169, least_checked: null }))).toBe(
            '169 readings, and nothing checks any of them.',
        );
    });
    test('nothing is ever called good', () => {
        const words = JSON.stringify(doubts, (_, value: unknown) => (typeof value === 'function' ? String(value) : value));
        expect(words).not.toMatch(/all good|\bsafe\b|\bready\b|approved|\bclean\b/i);
    });
});
