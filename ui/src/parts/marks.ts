// Which mark stands beside a reading, a point or a doubt.

import type { DoubtKind, PointWire, ReadingLine, ReadingWire } from '../gen/wire';
import type { MarkName } from './icons';

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

/** The mark of a point; nothing where it is pinned down, or where nothing is known of it yet. */
export function markOfPoint(found: PointWire | undefined, isUnread: boolean): MarkName | null {
    if (isUnread) return 'not-read';
    if (found?.status === 'loose') return 'loose';
    return found?.status === 'two-valued' ? 'two-places' : null;
}

const DOUBTS: Record<DoubtKind, MarkName> = {
    suspect: 'suspect',
    'shared-cause': 'suspect',
    unclear: 'unclear',
    loose: 'loose',
    'two-places': 'two-places',
    'not-read': 'not-read',
    islands: 'islands',
    'mirror-image': 'mirror-image',
    differs: 'differs',
    'look-again': 'look-again',
    unchecked: 'unchecked',
    'not-straight': 'not-straight',
    'sheet-problem': 'look-again',
};

/** The mark of a kind of doubt. */
export const markOfDoubt = (kind: DoubtKind): MarkName => DOUBTS[kind];
