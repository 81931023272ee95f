// When something was, as people say it: today by the clock, yesterday, else the day.

import { w } from '../words';

/** A time in UTC such as `2026-11-26T11:02:00Z`, said from `now`. What is no time comes back as it is. */
export function whenSaid(utc: string, now: Date): string {
    const at = new Date(utc);
    if (utc === '' || Number.isNaN(at.getTime())) return utc;
    const clock = at.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' });
    const days = Math.round((startOfDay(now) - startOfDay(at)) / 86_400_000);
    if (days === 0) return clock;
    if (days === 1) return w.yesterday(clock);
    const withYear = at.getFullYear() !== now.getFullYear();
    return at.toLocaleDateString('en-GB', { day: 'numeric', month: 'short', ...(withYear ? { year: 'numeric' } : {}) });
}

function startOfDay(time: Date): number {
    return new Date(time.getFullYear(), time.getMonth(), time.getDate()).getTime();
}
