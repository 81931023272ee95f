import { describe, expect, test } from 'vitest';

import type { LikelySlipWire } from '../../gen/wire';
import type { Phrase } from '../phrase';
import { slips, type SlipOf } from './slips';

const INCH = 25.4;
const likely = (name: LikelySlipWire['name'], corrected: number | null, odds = 0.96): LikelySlipWire => ({
    name,
    corrected,
    belongs_to: null,
    odds,
});
const tape: SlipOf = { kind: 'tape', quantity: 'length', observed: 55.4375 * INCH, from: '' };
const plain = (phrase: Phrase): string =>
    phrase
        .map((piece) => (typeof piece === 'string' ? piece : 'length' in piece ? `<${piece.length / INCH} in>` : '?'))
        .join('');

describe('likely slips in words', () => {
    test('the likeliest heads, with its odds and what the reading would be without it', () => {
        const all = [likely('burned-inch', 54.4375 * INCH), likely('inch', 54.4375 * INCH, 0.03)];
        expect(plain(slips.head(all, 0.01, tape))).toBe('Likely slip: read from the 1 inch mark');
        expect(plain(slips.more(all, 0.01, false, tape))).toBe(
            'Odds 96 in 100. Without it: <54.4375 in>. Or an inch lost between marks: 3 in 100.',
        );
    });

    test('where none of the list is likelier than the rest, none is named first', () => {
        const all = [likely('foot', 43 * INCH, 0.2)];
        expect(plain(slips.head(all, 0.8, tape))).toBe('No slip on the list explains it well');
        expect(plain(slips.more(all, 0.8, false, tape))).toBe(
            'Odds of none of these: 80 in 100. Or a foot too many: 20 in 100.',
        );
    });

    test('a foot is lost where the reading should be longer, and too many where it should be shorter', () => {
        expect(slips.slip(likely('foot', 67.4375 * INCH), tape)).toBe('a foot lost between marks');
        expect(slips.slip(likely('foot', 43.4375 * INCH), tape)).toBe('a foot too many');
        expect(slips.slip(likely('foot', 43.4375 * INCH))).toBe('a foot lost, or one too many');
    });

    test('a forgotten offset says where the number was really read from', () => {
        const from = (logged: string, off: number): string =>
            slips.slip(likely('from-forgotten', tape.observed + off), { ...tape, from: logged });
        expect(from('', -INCH)).toBe('read from the 1 inch mark on purpose, and not logged so');
        expect(from('', -100)).toBe('read from the 100 mm mark on purpose, and not logged so');
        expect(from('', 78)).toBe('read with the case on purpose, and not logged so');
        expect(from('burn-1in', INCH)).toBe('logged as read from the 1 inch mark, and read from the hook');
        expect(from('case', -78)).toBe('logged as read with the case, and read without it');
    });

    test('nobody is called surer than 99 in 100', () => {
        expect(slips.inHundred(0.9999)).toBe('better than 99 in 100');
        expect(slips.inHundred(0.98)).toBe('98 in 100');
    });

    test('a slip that the readings cannot prove asks for a second, blind reading', () => {
        expect(plain(slips.more([], null, true))).toMatch(/other person read it again, without seeing the first number/);
    });

    test('every slip of the desk has words', () => {
        const names = ['cm-for-inch', 'complement', 'supplement', 'sign', 'mirror-point', 'wrong-point'] as const;
        for (const name of names) {
            expect(slips.slip({ ...likely(name, null), belongs_to: ['sill mid L', 'hoop foot R'] }, tape)).not.toBe('');
        }
        expect(slips.slip({ ...likely('wrong-point', null), belongs_to: ['sill mid L', 'hoop foot R'] })).toBe(
            'taken to another point: sill mid L and hoop foot R',
        );
    });
});
