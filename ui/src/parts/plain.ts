// Sentences with lengths as plain text: for names of panels and controls, which a screen reader says.

import { decimal } from '../numbers/decimal';
import { partsOf, plain } from '../numbers/length';
import { device } from '../state/device.svelte';
import { job } from '../state/job.svelte';
import type { Phrase } from '../words/phrase';

/** `Off by 1 in long` */
export function plainOf(phrase: Phrase): string {
    const { marks, numbers } = device.now;
    return phrase
        .map((piece) => {
            if (typeof piece === 'string') return piece;
            if ('length' in piece) return plain(partsOf(piece.length, job.unit, { marks, places: 1 }, piece.up));
            if ('angle' in piece) return `${decimal(piece.angle, 1, numbers)}°`;
            return piece.name;
        })
        .join('');
}
