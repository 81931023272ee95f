// Which readings are listed.

import type { Doubts, ReadingLine, ReadingWire } from '../../gen/wire';
import type { MarkName } from '../../parts/icons';
import { markOf } from '../../parts/marks';

/** What the list is narrowed to; empty text narrows nothing. */
export interface ReadingFilter {
    search: string;
    by: string;
    instrument: string;
    kind: string;
    state: '' | 'doubted' | 'corrected' | MarkName;
}

export const EVERYTHING: ReadingFilter = { search: '', by: '', instrument: '', kind: '', state: '' };

/** The states that a list can be narrowed to. */
export const STATES = [
    'doubted',
    'fits',
    'suspect',
    'unclear',
    'look-again',
    'unchecked',
    'kept',
    'set-aside',
    'corrected',
] as const satisfies readonly ReadingFilter['state'][];

/** How many things the list is narrowed by, besides what is searched. */
export function narrowedBy({ by, instrument, kind, state }: ReadingFilter): number {
    return [by, instrument, kind, state].filter((one) => one !== '').length;
}

/** Names of the readings that a doubt is about. */
export function doubted(doubts: Doubts | null): Set<string> {
    return new Set(doubts?.doubts.flatMap((doubt) => doubt.readings));
}

/** The readings that pass, the newest first. */
export function listed(
    readings: readonly ReadingLine[],
    filter: ReadingFilter,
    found: ReadonlyMap<string, ReadingWire>,
    inDoubt: ReadonlySet<string>,
): ReadingLine[] {
    const words = filter.search.toLowerCase().split(/\s+/).filter(Boolean);
    const passes = (reading: ReadingLine): boolean => {
        if (filter.by !== '' && reading.by !== filter.by) return false;
        if (filter.instrument !== '' && reading.instrument !== filter.instrument) return false;
        if (filter.kind !== '' && reading.kind !== filter.kind) return false;
        if (filter.state === 'doubted' && !inDoubt.has(reading.name)) return false;
        if (filter.state === 'corrected' && reading.logged === null) return false;
        const isMark = !['', 'doubted', 'corrected'].includes(filter.state);
        if (isMark && markOf(reading, found.get(reading.name)) !== filter.state) return false;
        if (words.length === 0) return true;
        const text = [reading.name, ...reading.points, reading.value, reading.note].join(' ').toLowerCase();
        return words.every((word) => text.includes(word));
    };
    return readings.filter(passes).reverse();
}

/** The words that readings have in one field, each once, in the order of the alphabet. */
export function eachOf(readings: readonly ReadingLine[], field: 'by' | 'instrument' | 'kind'): string[] {
    return [...new Set(readings.map((reading) => reading[field]))].filter(Boolean).sort((a, b) => a.localeCompare(b));
}

/** Whether a line of the history speaks of a reading. */
export function speaksOf(words: string, reading: string): boolean {
    return words.split(/[^\p{L}\p{N}_-]+/u).includes(reading);
}
