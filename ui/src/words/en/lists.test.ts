import { expect, test } from 'vitest';

import { momentOf } from '../../numbers/moment';
import { lists } from './lists';

const now = new Date(2026, 10, 26, 14, 0);
const said = (date: Date): string => lists.day(momentOf(date.toISOString()), now);

test('days near by are said as people say them', () => {
    expect(said(new Date(2026, 10, 26, 0, 5))).toBe('Today');
    expect(said(new Date(2026, 10, 25, 23, 55))).toBe('Yesterday');
    expect(said(new Date(2026, 10, 23, 12, 0))).toBe('Monday 23 November');
    expect(said(new Date(2025, 10, 23, 12, 0))).toBe('23 November 2025');
});

test('a day that somebody wrote is said as it was written', () => {
    expect(lists.day(momentOf('day 1 08:32'), now)).toBe('Day 1');
    expect(lists.moment(momentOf('day 1 08:32'), now)).toBe('day 1, 08:32');
    expect(lists.day(momentOf(''), now)).toBe('No day said');
    expect(lists.moment(momentOf(new Date(2026, 10, 25, 17, 2).toISOString()), now)).toBe('yesterday, 17:02');
});

test('how far the others check a reading is said in parts of a hundred', () => {
    expect(lists.reading.checkedBy(0.72, false)).toBe('The others check it well: of a slip in it, 72 in 100 parts would show.');
    expect(lists.reading.checkedBy(0.02, true)).toBe('Nothing checks it: a slip in it would not show.');
    expect(lists.reading.checkedBy(null, false)).toBe('It counts for nothing in the points.');
});

test('a reading that is off by less than a mark is told as within it, not as long or short', () => {
    expect(lists.reading.residual(-0.2, 'length', 'long')).toEqual(['This one is within ', { length: 0.2, up: true }, ' of that.']);
    expect(lists.reading.residual(-25.4, 'length', 'long')).toEqual(['This one is ', { length: 25.4, up: false }, ' ', 'long', '.']);
});
