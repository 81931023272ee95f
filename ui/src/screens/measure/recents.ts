// The last readings at hand, and how each stands.

import type { JobShown, ReadingLine, ReadingWire } from '../../gen/wire';
import type { MarkName } from '../../parts/icons';

export const AT_HAND = 10;

/** The readings that were logged last, the newest first. */
export function lastReadings(shown: JobShown, most = AT_HAND): ReadingLine[] {
    return shown.readings.slice(-most).reverse();
}

/** The mark of a reading: what the crew said of it, else what the tests say; nothing where they say nothing yet. */
export function markOf(reading: ReadingLine, found: ReadingWire | undefined): MarkName | null {
    if (reading.state === 'set aside') return 'set-aside';
    if (!found) return null;
    if (found.verdict === 'suspect') return 'suspect';
    if (found.verdict === 'unclear') return 'unclear';
    if (found.verdict === 'look again') return 'look-again';
    if (reading.state === 'kept') return 'kept';
    return found.unchecked ? 'unchecked' : 'fits';
}

