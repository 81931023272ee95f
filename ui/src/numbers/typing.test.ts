import { describe, expect, it } from 'vitest';

import * as typing from './typing';

/** Keys one after the other: digits, `.`, `f3/8`, `+`, `-`, `ft`, `<`. */
function keyed(unit: typing.PadUnit, ...keys: string[]): typing.Typed {
    return keys.reduce<typing.Typed>((typed, key) => {
        if (/^\d$/.test(key)) return typing.digit(typed, key);
        if (key === '.') return typing.point(typed);
        if (key === '+') return typing.step(typed, 1, 16);
        if (key === '-') return typing.step(typed, -1, 16);
        if (key === 'ft') return typing.feet(typed);
        if (key === '<') return typing.erase(typed);
        const [over, under] = key.slice(1).split('/').map(Number);
        return typing.fraction(typed, over ?? 0, under ?? 1);
    }, typing.nothingTyped(unit));
}
const text = (unit: typing.PadUnit, ...keys: string[]) => typing.textOf(keyed(unit, ...keys));

describe('the pad', () => {
    it('types inches with a fraction in four touches', () => {
        expect(text('in', '4', '2', 'f3/8')).toBe('42 3/8 in');
        expect(text('in', 'f7/8')).toBe('7/8 in');
    });

    it('types feet as people write them', () => {
        expect(text('in', '3', 'ft', '4', 'f5/8')).toBe(`3' 4 5/8"`);
        expect(text('in', '3', 'ft')).toBe(`3'`);
        expect(text('in', '3', 'ft', 'ft')).toBe('3 in');
    });

    it('types millimetres, centimetres and degrees', () => {
        expect(text('mm', '1', '0', '7', '6')).toBe('1076 mm');
        expect(text('cm', '1', '0', '3', '.', '2')).toBe('103.2 cm');
        expect(text('deg', '1', '2', '.', '4')).toBe('12.4 deg');
    });

    it('steps over whole inches both ways, and never below nothing', () => {
        expect(text('in', '4', '2', '+')).toBe('42 1/16 in');
        expect(text('in', '4', '2', '-')).toBe('41 15/16 in');
        expect(text('in', '4', '2', 'f7/8', '+', '+')).toBe('43 in');
        expect(text('in', '0', '-')).toBe('0 in');
    });

    it('takes a fraction off when it is keyed again, and the last key back', () => {
        expect(text('in', '4', 'f3/8', 'f3/8')).toBe('4 in');
        expect(text('in', '4', '2', 'f3/8', '<')).toBe('42 in');
        expect(text('in', '4', '2', '<', '<')).toBe('');
    });

    it('begins the next figure with a digit after a fraction', () => {
        expect(text('in', '4', 'f3/8', '5')).toBe('5 in');
    });

    it('keeps the figure and not its size when the unit is changed', () => {
        expect(typing.textOf(typing.inUnit(keyed('in', '4', '2', 'f3/8'), 'mm'))).toBe('42 mm');
    });
});

describe('a text from a keyboard', () => {
    it.each([
        ['42 3/8', '42 3/8 in'],
        ['42-3/8"', '42 3/8 in'],
        [`3' 4 5/8"`, `3' 4 5/8"`],
        ['40.625 in', '40.625 in'],
        ['6/16', '3/8 in'],
        ['103.2 cm', '103.2 cm'],
        ['-1 1/2', '-1 1/2 in'],
    ])('`%s` stands on the pad as `%s`', (written, logged) => {
        const typed = typing.typedOf(written, 'in');
        expect(typed && typing.textOf(typed)).toBe(logged);
    });

    it('that is half written is left as it is', () => {
        expect(typing.typedOf('40 5/', 'in')).toBeNull();
        expect(typing.typedOf('', 'in')).toBeNull();
        expect(typing.typedOf('4 5', 'in')).toBeNull();
    });

    it('takes a comma for a point', () => {
        expect(typing.typedOf('103,2', 'cm')?.figure).toBe('103.2');
    });
});
