import { expect, test } from 'vitest';

import { byDay, momentOf } from './moment';

test('a moment in UTC falls on the day of this device', () => {
    const moment = momentOf('2026-11-26T10:15:00Z');
    const here = new Date('2026-11-26T10:15:00Z');
    expect(moment.date?.getTime()).toBe(here.getTime());
    expect(moment.time).toBe(`${String(here.getHours()).padStart(2, '0')}:15`);
});

test('what was written on a sheet stays as it was written', () => {
    expect(momentOf('day 1 08:32')).toEqual({ day: 'day 1', time: '08:32', date: null });
    expect(momentOf('some time in May')).toEqual({ day: 'some time in May', time: '', date: null });
    expect(momentOf('')).toEqual({ day: '', time: '', date: null });
});

test('a list is split at each new day and keeps its order', () => {
    const days = byDay(['day 2 09:00', 'day 2 08:00', 'day 1 17:00', 'day 2 07:00'], (at) => at);
    expect(days.map((day) => [day.moment.day, day.all.length])).toEqual([
        ['day 2', 2],
        ['day 1', 1],
        ['day 2', 1],
    ]);
});
