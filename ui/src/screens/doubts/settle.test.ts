import { expect, test } from 'vitest';

import type { Doubt } from '../../gen/wire';
import { observedOf } from '../../parts/told';
import { placeToLook, readingToKeep, sameDoubt, stepFromFinding, stepOf } from './settle';

const doubt = (said: Partial<Doubt>): Doubt =>
    ({ kind: 'suspect', readings: [], points: [], register: null, said: null, pair: null, amount: null, way: null, expected: null, ...said }) as Doubt;

test('reading again goes to Measure with the first reading, and the others after it', () => {
    const step = stepOf(doubt({ settle: { do: 'read-again', readings: ['r1', 'r2', 'r3'] } }));
    expect(step).toEqual({ go: 'measure', asked: { again: 'r1', then: ['r2', 'r3'], why: 'doubts' } });
});

test('a next reading goes to Measure with its kind and both points', () => {
    const step = stepOf(doubt({ settle: { do: 'read-next', kind: 'rise', a: 'sill mid L', b: 'roof front' } }));
    expect(step).toEqual({ go: 'measure', asked: { kind: 'rise', p: ['sill mid L', 'roof front'], why: 'doubts' } });
});

test('looking leads to the reading, else to the point that is off, else nowhere', () => {
    expect(placeToLook(doubt({ readings: ['r6'], points: ['a'] }))).toEqual({ go: 'readings', asked: { reading: 'r6' } });
    const pair = { left: 'a L', right: 'a R', off_mm: [0, 0, 0], sd_mm: [1, 1, 1] } as Doubt['pair'];
    expect(placeToLook(doubt({ points: ['a L', 'a R'], pair }))).toEqual({ go: 'points', asked: { point: 'a R' } });
    expect(placeToLook(doubt({}))).toBeNull();
    expect(placeToLook(doubt({ kind: 'not-read', points: ['a', 'b'] }))).toEqual({ go: 'points', asked: {} });
});

test('a crooked shell is looked at first, and accepted from there', () => {
    const crooked = doubt({ kind: 'not-straight', settle: { do: 'accept' } });
    expect(stepOf(crooked)).toEqual({ panel: 'found' });
    expect(stepFromFinding(crooked)).toEqual({ panel: 'accept' });
});

test('only a doubt about one reading can be settled by keeping it', () => {
    expect(readingToKeep(doubt({ readings: ['r1'] }))).toBe('r1');
    expect(readingToKeep(doubt({ kind: 'unclear', readings: ['r1', 'r2'] }))).toBeNull();
    expect(readingToKeep(doubt({ kind: 'unchecked', readings: ['r1'] }))).toBeNull();
});

test('what was read lies on the side that the doubt says it is off to', () => {
    expect(observedOf(doubt({ expected: 100, amount: 25, way: 'long' }))).toBe(125);
    expect(observedOf(doubt({ expected: 100, amount: 25, way: 'less' }))).toBe(75);
    expect(observedOf(doubt({ expected: null, amount: 25, way: 'less' }))).toBeNull();
});

test('a doubt is known again by what it is about, whatever its numbers are now', () => {
    expect(sameDoubt(doubt({ readings: ['r1'], amount: 1 }), doubt({ readings: ['r1'], amount: 2 }))).toBe(true);
    expect(sameDoubt(doubt({ readings: ['r1'] }), doubt({ readings: ['r2'] }))).toBe(false);
    expect(sameDoubt(doubt({ kind: 'not-read', points: ['a', 'b'] }), doubt({ kind: 'not-read', points: ['b'] }))).toBe(true);
});
