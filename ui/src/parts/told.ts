// What is told of a doubt beside its headline.

import type { Doubt, ReadingLine } from '../gen/wire';
import { isKind } from '../numbers/kinds';
import { w } from '../words';
import type { Phrase } from '../words/phrase';
import type { SlipOf } from '../words/en/slips';

/** Under so many standard deviations of the test nobody can be sure of a slip; the desk says it at the same limit. */
const HARD_TO_SEE = 5;

/** The reading that a slip may have befallen. */
export function slipOf(doubt: Doubt, reading: ReadingLine | undefined): SlipOf | undefined {
    const observed = observedOf(doubt) ?? reading?.mm_or_deg ?? null;
    if (!reading || observed === null || !isKind(reading.kind)) return undefined;
    return { kind: reading.kind, quantity: doubt.quantity, observed, from: reading.from };
}

/** `Likely slip: read from the 1 inch mark.`, or nothing where none is likelier than the rest. */
export function likelyOf(doubt: Doubt, reading: ReadingLine | undefined): Phrase {
    if (doubt.kind !== 'suspect' || w.slips.best(doubt.slips, doubt.none_of_these) === null) return [];
    return [...w.slips.head(doubt.slips, doubt.none_of_these, slipOf(doubt, reading)), '.'];
}

/** Whether a doubt is near the limit of what readings can show. */
export function isHardToSee(deviations: number | null | undefined): boolean {
    return typeof deviations === 'number' && Math.abs(deviations) < HARD_TO_SEE;
}

/** What the reading of a doubt was from point to point, in mm or degrees; nothing where nothing is expected of it. */
export function observedOf(doubt: Doubt): number | null {
    if (doubt.expected === null || doubt.amount === null || doubt.way === null) return null;
    const isOver = ['long', 'wide', 'more'].includes(doubt.way);
    return doubt.expected + (isOver ? doubt.amount : -doubt.amount);
}
