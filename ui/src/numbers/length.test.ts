import { describe, expect, it } from 'vitest';

import { partsOf, plain, reduced } from './length';

const inches = (mm: number, up = false) => plain(partsOf(mm, 'in', { marks: 16, places: 1 }, up));

describe('a length in inches', () => {
    it('is written to the nearest sixteenth, reduced', () => {
        expect(inches(42.375 * 25.4)).toBe('42 3/8 in');
        expect(inches(25.4 * (3 + 15 / 16))).toBe('3 15/16 in');
        expect(inches(25.4 * 0.5)).toBe('1/2 in');
        expect(inches(0)).toBe('0 in');
    });

    it('carries a fraction that rounds to a whole inch', () => {
        expect(inches(25.4 * (4 - 1 / 64))).toBe('4 in');
    });

    it('is never written too small where that is asked for', () => {
        expect(inches(25.4 / 16 + 0.1, true)).toBe('1/8 in');
        expect(inches(25.4 / 16, true)).toBe('1/16 in');
    });

    it('has its minus before the figure, and none where nothing is left of it', () => {
        expect(inches(-25.4 * 1.25)).toBe('-1 1/4 in');
        expect(inches(-0.2)).toBe('0 in');
    });
});

describe('a length in millimetres', () => {
    it('has as many places as it is asked for', () => {
        expect(plain(partsOf(1032.25, 'mm', { marks: 16, places: 1 }))).toBe('1032.2 mm');
        expect(plain(partsOf(1076.4, 'mm', { marks: 16, places: 0 }))).toBe('1076 mm');
        expect(plain(partsOf(2.01, 'mm', { marks: 16, places: 1 }, true))).toBe('2.1 mm');
    });
});

describe('a fraction', () => {
    it('is in its lowest terms', () => {
        expect(reduced(6, 16)).toEqual([3, 8]);
        expect(reduced(8, 8)).toEqual([1, 1]);
        expect(reduced(5, 16)).toEqual([5, 16]);
    });
});
