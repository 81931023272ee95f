// The last readings at hand.

import type { JobShown, ReadingLine } from '../../gen/wire';

export const AT_HAND = 10;

/** The readings that were logged last, the newest first. */
export function lastReadings(shown: JobShown, most = AT_HAND): ReadingLine[] {
    return shown.readings.slice(-most).reverse();
}
