import type { Parts } from '../../numbers/length';

/** `3 eighths`, as it is said. */
function fractionSaid(over: number, under: number): string {
    const names: Record<number, [string, string]> = {
        2: ['half', 'halves'],
        4: ['quarter', 'quarters'],
        8: ['eighth', 'eighths'],
        16: ['sixteenth', 'sixteenths'],
        32: ['thirty-second', 'thirty-seconds'],
        64: ['sixty-fourth', 'sixty-fourths'],
    };
    const [one, many] = names[under] ?? [`over ${under}`, `over ${under}`];
    return `${over} ${over === 1 ? one : many}`;
}

/** `1 reading`, `2 readings`. */
export function count(number: number, one: string, many = `${one}s`): string {
    return `${number} ${number === 1 ? one : many}`;
}

/** `a, b and c`. */
export function list(words: readonly string[]): string {
    if (words.length < 2) return words.join('');
    return `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`;
}

export const common = {
    name: 'Trammel',
    close: 'Close',
    cancel: 'Leave it',
    done: 'Done',
    undo: 'Undo',
    redo: 'Do again',
    back: 'Back',
    add: 'Add',
    stop: 'Stop',
    plusMinus: 'plus or minus',
    /** Once a screen that shows ±. */
    plusMinusMeans: '± holds 95 times in 100.',

    heardLength(parts: Parts, whole: string): string {
        const minus = parts.negative ? 'minus ' : '';
        const fraction = parts.fraction ? fractionSaid(parts.fraction.over, parts.fraction.under) : '';
        if (parts.unit === 'mm') return `${minus}${whole} millimetres`;
        if (whole === '') return `${minus}${fraction} of an inch`;
        const both = fraction === '' ? whole : `${whole} and ${fraction}`;
        return `${minus}${both} ${both === '1' ? 'inch' : 'inches'}`;
    },
    heardAngle: (text: string, negative: boolean): string => `${negative ? 'minus ' : ''}${text} degrees`,
    fractionSaid,

    rooms: {
        aria: 'Rooms',
        jobs: 'Jobs',
        start: 'Start',
        measure: 'Measure',
        shape: 'Shape',
        doubts: 'Doubts',
        points: 'Points',
        readings: 'Readings',
        instruments: 'Instruments',
        history: 'History',
        'hand-off': 'Hand-off',
        settings: 'Settings',
        photos: 'Photos',
        more: 'More',
    },
    title: {
        job: 'Job',
        holder: 'Holding',
        nobody: 'Who?',
        readings: 'Readings',
        points: 'Points',
    },
    marks: {
        fits: 'Fits',
        suspect: 'Suspect',
        unclear: 'Unclear',
        unchecked: 'Unchecked',
        loose: 'Loose',
        'two-places': 'Two places',
        'not-read': 'Not read',
        differs: 'Differs',
        'not-straight': 'Not straight',
        'look-again': 'Look again',
        islands: 'Not joined',
        'mirror-image': 'Mirror image',
        kept: 'Kept',
        'set-aside': 'Set aside',
    },
    units: { in: 'in', mm: 'mm', cm: 'cm', ft: 'ft', deg: '°' },
    /** A line between two points, read out or typed. */
    to: 'to',
};
