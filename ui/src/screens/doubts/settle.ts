// Where the one action of a doubt leads.

import type { Doubt } from '../../gen/wire';
import type { Room } from '../../state/route.svelte';

export type PanelName = 'found' | 'choose' | 'above' | 'swap' | 'from' | 'accept';
export type Step = { go: Room; asked: Record<string, string | string[]> } | { panel: PanelName };

/** What a press on the action of a doubt does. */
export function stepOf(doubt: Doubt): Step {
    const { settle } = doubt;
    switch (settle.do) {
        case 'read-again': {
            const [again = '', ...then] = settle.readings;
            return { go: 'measure', asked: { again, ...(then.length > 0 ? { then } : {}), why: 'doubts' } };
        }
        case 'read-next':
            return { go: 'measure', asked: { kind: settle.kind, p: [settle.a, settle.b], why: 'doubts' } };
        case 'choose':
            return { panel: 'choose' };
        case 'say-above':
            return { panel: 'above' };
        case 'undo-swap':
            return { panel: 'swap' };
        case 'say-from':
            return { panel: 'from' };
        // It is looked at first, and taken as it is from there.
        case 'accept':
        case 'look':
            return { panel: 'found' };
    }
}

/** The point that a doubt is about before others; nothing where it is about many alike. */
export function pointOf(doubt: Doubt): string | undefined {
    return doubt.kind === 'not-read' && doubt.points.length > 1 ? undefined : (doubt.pair?.right ?? doubt.points[0]);
}

/** Where looking leads from the doubt itself: the reading as it was typed, or the point that is off. */
export function placeToLook(doubt: Doubt): Step | null {
    const [reading] = doubt.readings;
    const point = pointOf(doubt);
    if (reading !== undefined) return { go: 'readings', asked: { reading } };
    if (doubt.kind === 'not-read' && point === undefined) return { go: 'points', asked: {} };
    return point === undefined ? null : { go: 'points', asked: { point } };
}

/** What settles it from the finding, where it was looked at. */
export function stepFromFinding(doubt: Doubt): Step | null {
    if (doubt.settle.do === 'accept') return { panel: 'accept' };
    return doubt.settle.do === 'look' ? placeToLook(doubt) : stepOf(doubt);
}

/** The one reading that can be kept on purpose, or set aside, to settle it. */
export function readingToKeep(doubt: Doubt): string | null {
    const [only] = doubt.readings;
    const isOne = doubt.readings.length === 1 && ['suspect', 'look-again', 'unclear'].includes(doubt.kind);
    return isOne && only !== undefined ? only : null;
}

/** The same doubt after the readings were solved again. */
export function sameDoubt(one: Doubt, other: Doubt): boolean {
    // There is one of what is not read, and it shrinks with every reading.
    const points = (doubt: Doubt): string[] => (doubt.kind === 'not-read' ? [] : doubt.points);
    const key = (doubt: Doubt): string =>
        JSON.stringify([doubt.kind, doubt.readings, points(doubt), doubt.register, doubt.said]);
    return key(one) === key(other);
}
