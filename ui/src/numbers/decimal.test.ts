import { expect, it } from 'vitest';

import { decimal, usesComma } from './decimal';

it('a decimal is written with the point or the comma that is asked for', () => {
    expect(decimal(12.45, 1, 'point')).toBe('12.4');
    expect(decimal(12.5, 1, 'comma')).toBe('12,5');
});

it('a minus is a real one, and none stands before nothing', () => {
    expect(decimal(-1.5, 1, 'point')).toBe('−1.5');
    expect(decimal(-0.01, 1, 'point')).toBe('0.0');
});

it('the device is asked where nothing is said', () => {
    expect(usesComma('device')).toBe(new Intl.NumberFormat().format(0.5).includes(','));
});
