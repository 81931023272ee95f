// The starting list while the crew prunes and renames it, and the points that come of it.

import type { StartingPoint, NewPoint } from '../../gen/wire';
import type { ListDraft } from '../../state/draft.svelte';

export const nothingPruned = (): ListDraft => ({ doors: 2, out: {}, names: {}, own: [] });

/** A row of the list: a pair, the left one first, or one point. */
export type HardRow = StartingPoint[];

/** The rows of one group, in the order of the list. */
export function rowsOf(points: readonly StartingPoint[], group: string, doors: 2 | 4): HardRow[] {
    const here = points.filter((point) => point.group === group && point.doors.includes(doors));
    const rows: HardRow[] = [];
    const done = new Set<string>();
    for (const point of here) {
        if (done.has(point.label)) continue;
        const partner = here.find((other) => other.label === point.mirror);
        const row = partner ? [point, partner].sort((a, b) => Number(a.side === 'right') - Number(b.side === 'right')) : [point];
        for (const one of row) done.add(one.label);
        rows.push(row);
    }
    return rows;
}

/** What a point of the list is called now. */
export const nameOf = (point: StartingPoint, pruning: ListDraft): string => (pruning.names[point.label] ?? point.label).trim();

/** Two labels that people take for the same. */
export const same = (a: string, b: string): boolean => a.trim().normalize('NFC').toLowerCase() === b.trim().normalize('NFC').toLowerCase();

/** The points that are added: of the list what was not left out and is not in the job, then the crew's own. */
export function newPoints(points: readonly StartingPoint[], pruning: ListDraft, there: readonly string[]): NewPoint[] {
    const isThere = (label: string): boolean => there.some((other) => same(other, label));
    const ofDoors = points.filter((point) => point.doors.includes(pruning.doors));
    const taken = ofDoors.filter((point) => !pruning.out[point.label] && !isThere(nameOf(point, pruning)));
    const partner = (point: StartingPoint): string => {
        const other = ofDoors.find((one) => one.label === point.mirror);
        if (!other) return '';
        const label = nameOf(other, pruning);
        return taken.includes(other) || isThere(label) ? label : '';
    };
    const rough = (mm: number): string => `${Math.round(mm)} mm`;
    const listed = taken.map((point) => ({
        label: nameOf(point, pruning),
        side: point.side,
        mirror: partner(point),
        x: rough(point.x_mm),
        y: rough(point.y_mm),
        z: rough(point.z_mm),
    }));
    return [...listed, ...pruning.own.filter((own) => !isThere(own.label))];
}

/** What would be refused: a label that stands twice, or none. */
export function fault(points: readonly NewPoint[]): { twice: string } | { nameless: true } | null {
    const seen: string[] = [];
    for (const point of points) {
        if (point.label.trim() === '') return { nameless: true };
        if (seen.some((other) => same(other, point.label))) return { twice: point.label };
        seen.push(point.label);
    }
    return null;
}
