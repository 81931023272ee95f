// Which points are listed, and what is said of one.

import type { Act, Doubts, PointLine, PointWire, ReadingLine } from '../../gen/wire';

export type PointFilter = 'all' | 'loose' | 'unread' | 'doubted';
export const POINT_FILTERS = ['all', 'loose', 'unread', 'doubted'] as const satisfies readonly PointFilter[];

/** Labels of the points that a doubt is about. Those that are not read yet are listed by themselves. */
export function doubted(told: Doubts | null): Set<string> {
    const doubts = told?.doubts.filter(({ kind }) => kind !== 'not-read') ?? [];
    const pairs = doubts.flatMap(({ pair }) => (pair ? [pair.left, pair.right] : []));
    return new Set([...doubts.flatMap(({ points }) => points), ...pairs]);
}

/** The points that pass, in the order in which they were made. */
export function listed(
    points: readonly PointLine[],
    filter: PointFilter,
    search: string,
    places: ReadonlyMap<string, PointWire>,
    inDoubt: ReadonlySet<string>,
    unread: ReadonlySet<string>,
): PointLine[] {
    const words = search.toLowerCase().split(/\s+/).filter(Boolean);
    return points.filter((point) => {
        const status = places.get(point.label)?.status;
        const isOpen = (status === 'loose' && !unread.has(point.label)) || status === 'two-valued';
        if (filter === 'loose' && !isOpen) return false;
        if (filter === 'unread' && !unread.has(point.label)) return false;
        if (filter === 'doubted' && !inDoubt.has(point.label)) return false;
        const text = [point.label, ...point.joined, point.note].join(' ').toLowerCase();
        return words.every((word) => text.includes(word));
    });
}

/** The readings that touch a point, the newest first. */
export function touching(readings: readonly ReadingLine[], label: string): ReadingLine[] {
    return readings.filter((reading) => reading.points.includes(label)).reverse();
}

/** The axis along which a point is least sure; nothing where it is not pinned down. */
export function weakest(place: PointWire): 0 | 1 | 2 | null {
    const deviations = [place.sd_x_mm, place.sd_y_mm, place.sd_z_mm];
    if (deviations.some((deviation) => deviation === null)) return null;
    const most = Math.max(...(deviations as number[]));
    return deviations.indexOf(most) as 0 | 1 | 2;
}

/** What can be said of a point. */
export interface PointSaid {
    label: string;
    side: string;
    mirror: string;
    x: string;
    y: string;
    z: string;
    fixed: string;
    note: string;
}

export function saidOf(point: PointLine): PointSaid {
    const [x, y, z] = point.rough;
    const { label, side, fixed, note } = point;
    return { label, side, mirror: point.mirror ?? '', x, y, z, fixed, note };
}

/** The acts that make a point what is said of it: its facts first, by the name that it still has. */
export function changes(point: PointLine, said: PointSaid): Act[] {
    const before = saidOf(point);
    const facts: Partial<Omit<PointSaid, 'label'>> = {};
    for (const field of ['side', 'mirror', 'x', 'y', 'z', 'fixed', 'note'] as const) {
        if (said[field].trim() !== before[field].trim()) facts[field] = said[field].trim();
    }
    const acts: Act[] = [];
    if (Object.keys(facts).length > 0) acts.push({ do: 'describe-point', point: point.label, ...facts });
    const to = said.label.trim();
    if (to !== '' && to !== point.label) acts.push({ do: 'rename-point', point: point.label, to });
    return acts;
}
