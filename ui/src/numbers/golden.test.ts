// What the pages write is what the desk writes: a table that the desk made of its own lengths and angles.

import { describe, expect, it } from 'vitest';

import golden from '../gen/lengths.json';
import { decimal } from './decimal';
import { partsOf, plain, type Unit } from './length';

const written = (mm: number, unit: string, marks: number, up: boolean): string =>
    plain(partsOf(mm, unit as Unit, { marks, places: 1 }, up));

describe('the pages write as the desk does', () => {
    it('every length of the table', () => {
        const wrong = golden.lengths.filter(({ mm, unit, marks, text }) => written(mm, unit, marks, false) !== text);
        expect(wrong).toEqual([]);
        expect(golden.lengths.length).toBeGreaterThan(500);
    });

    it('every length that is never written too small', () => {
        const wrong = golden.lengths.filter(
            ({ mm, unit, marks, rounded_up }) => written(Math.abs(mm), unit, marks, true) !== rounded_up,
        );
        expect(wrong).toEqual([]);
    });

    it('every angle of the table', () => {
        const wrong = golden.angles.filter(
            ({ deg, text }) => `${decimal(deg, 1, 'point').replace('−', '-')} deg` !== text,
        );
        expect(wrong).toEqual([]);
    });
});
