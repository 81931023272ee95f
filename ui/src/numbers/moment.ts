// Moments as a log has them: in UTC, or as somebody wrote them on a sheet ("day 1 08:32").

/** A moment taken apart: a day to group by, and what time it was. */
export interface Moment {
    /** The same for all of one day, such as `2026-11-26` or `day 1`. */
    day: string;
    /** Such as `14:32`; empty where none is known. */
    time: string;
    /** The day on the calendar of this device, where it is one. */
    date: Date | null;
}

/** Reads a moment; what is no moment in UTC stays as it was written. */
export function momentOf(at: string): Moment {
    const known = /^\d{4}-\d\d-\d\dT\d\d:\d\d/.test(at) ? new Date(at) : null;
    if (known && !Number.isNaN(known.getTime())) {
        const two = (part: number): string => String(part).padStart(2, '0');
        return {
            day: `${known.getFullYear()}-${two(known.getMonth() + 1)}-${two(known.getDate())}`,
            time: `${two(known.getHours())}:${two(known.getMinutes())}`,
            date: known,
        };
    }
    const written = /^(.*?)\s*(\d{1,2}:\d\d)(?::\d\d)?$/.exec(at.trim());
    if (written) return { day: written[1] ?? '', time: written[2] ?? '', date: null };
    return { day: at.trim(), time: '', date: null };
}

/** Splits a list at each new day, in the order in which it is. */
export function byDay<T>(all: readonly T[], at: (one: T) => string): { moment: Moment; all: T[] }[] {
    const days: { moment: Moment; all: T[] }[] = [];
    for (const one of all) {
        const moment = momentOf(at(one));
        const last = days[days.length - 1];
        if (last && last.moment.day === moment.day) last.all.push(one);
        else days.push({ moment, all: [one] });
    }
    return days;
}
