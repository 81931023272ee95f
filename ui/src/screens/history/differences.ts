// What differs between a job as it stood and as it is.

import type { JobShown, PointLine, ReadingLine } from '../../gen/wire';

export type Field = 'value' | 'kind' | 'points' | 'state' | 'instrument' | 'from' | 'add' | 'note' | 'label' | 'side' | 'mirror' | 'rough';

/** One thing that is another now. */
export interface Changed {
    what: 'reading' | 'point';
    /** What it is called now. */
    name: string;
    fields: { field: Field; then: string; now: string }[];
}

export interface Differences {
    /** Names of readings that were logged since. */
    readingsSince: string[];
    /** Names of readings that are no longer there: logging them was undone. */
    readingsGone: string[];
    pointsSince: string[];
    pointsGone: string[];
    changed: Changed[];
}

const READING_FIELDS = ['value', 'kind', 'state', 'instrument', 'from', 'add', 'note'] as const;

/** Compares entry by entry, whatever each was called. */
export function differences(then: JobShown, now: JobShown): Differences {
    const [was, is] = [entries(then), entries(now)];
    /** Points by entry: one that was renamed since is the same one. */
    const isElsewhere = (before: ReadingLine, after: ReadingLine): boolean =>
        before.points.map((label) => was.get(label) ?? label).join() !== after.points.map((label) => is.get(label) ?? label).join();
    const readings = compared(then.readings, now.readings, (before, after) =>
        readingChanged(before, after, isElsewhere(before, after)),
    );
    const points = compared(then.points, now.points, (before, after) => pointChanged(before, after));
    return {
        readingsSince: readings.since.map((reading) => reading.name),
        readingsGone: readings.gone.map((reading) => reading.name),
        pointsSince: points.since.map((point) => point.label),
        pointsGone: points.gone.map((point) => point.label),
        changed: [...readings.changed, ...points.changed],
    };
}

export function isTheSame(differs: Differences): boolean {
    return Object.values(differs).every((all) => all.length === 0);
}

function compared<T extends { id: string }>(then: readonly T[], now: readonly T[], changed: (then: T, now: T) => Changed | null) {
    const before = new Map(then.map((one) => [one.id, one]));
    const after = new Set(now.map((one) => one.id));
    return {
        since: now.filter((one) => !before.has(one.id)),
        gone: then.filter((one) => !after.has(one.id)),
        changed: now.flatMap((one) => {
            const was = before.get(one.id);
            const found = was ? changed(was, one) : null;
            return found ? [found] : [];
        }),
    };
}

/** The entry of each label. */
function entries(job: JobShown): Map<string, string> {
    return new Map(job.points.map((point) => [point.label, point.id]));
}

function readingChanged(then: ReadingLine, now: ReadingLine, isElsewhere: boolean): Changed | null {
    const fields: Changed['fields'] = READING_FIELDS.filter((field) => then[field] !== now[field]).map((field) => ({
        field,
        then: then[field],
        now: now[field],
    }));
    if (isElsewhere) fields.push({ field: 'points', then: then.points.join(', '), now: now.points.join(', ') });
    return fields.length > 0 ? { what: 'reading', name: now.name, fields } : null;
}

function pointChanged(then: PointLine, now: PointLine): Changed | null {
    const said = (point: PointLine): [Field, string][] => [
        ['label', point.label],
        ['side', point.side],
        ['mirror', point.mirror ?? ''],
        ['rough', point.rough.filter(Boolean).join(', ')],
        ['note', point.note],
    ];
    const before = said(then);
    const fields = said(now).flatMap(([field, text], index) => {
        const was = before[index]?.[1] ?? '';
        return was === text ? [] : [{ field, then: was, now: text }];
    });
    return fields.length > 0 ? { what: 'point', name: now.label, fields } : null;
}

/** A moment of this device's clock, as an input has it, in UTC for the desk. */
export function utcOf(local: string): string | null {
    const moment = new Date(local);
    return local === '' || Number.isNaN(moment.getTime()) ? null : `${moment.toISOString().slice(0, 19)}Z`;
}
