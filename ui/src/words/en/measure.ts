import type { Again, Compared } from '../../gen/wire';
import { isKind, type Kind } from '../../numbers/kinds';
import { angle, length, name, type Phrase, type Piece, say } from '../phrase';
import { list } from './common';
import { kinds } from './kinds';

const FROM: Record<string, string> = {
    hook: 'from the hook',
    'burn-1in': 'from the 1 inch mark',
    'burn-100mm': 'from the 100 mm mark',
    case: 'with the case',
};

/** Which way a reading is off: residual = expected − observed. */
function way(kind: Kind, residual: number): string {
    const over = residual < 0;
    if (kind === 'corner') return over ? 'too wide' : 'too narrow';
    if (kind === 'tape' || kind === 'string' || kind === 'face') return over ? 'long' : 'short';
    return over ? 'too much' : 'too little';
}

const value = (amount: number, quantity: 'length' | 'angle', up = false): Piece =>
    quantity === 'angle' ? angle(amount, up) : length(amount, up);

export const measure = {
    log: 'Log',
    keys: 'Keys',
    erase: 'Erase the last key',
    feet: 'ft, what was keyed so far is feet',
    point: 'Decimal point',
    sign: 'Change the sign',
    stepMark: (by: number, mark: string): string => `${by > 0 ? 'Add' : 'Take off'} ${mark} of an inch`,
    stepOne: (by: number, unit: string): string => `${by > 0 ? 'Add' : 'Take off'} 1 ${unit === '°' ? 'degree' : unit}`,
    unitKey: (now: string, next: string): string => `${now} or ${next}: change the unit`,
    or: (unit: string): string => `or ${unit}`,
    finer: (marks: number): string => `Between the keys of the blade, steps of 1/${marks} inch with the plus and minus keys.`,

    kindTitle: 'What is read?',
    howToHold: (kind: string): string => `${kind}: what to hold where`,
    howTitle: 'What is it read with?',
    instrument: 'Instrument',
    noInstrument: 'No instrument',
    readFrom: 'The number is read',
    fromWord: (from: string): string => FROM[from] ?? from,
    fromKey: (from: string): string => ({ 'burn-1in': 'off 1 in', 'burn-100mm': 'off 100', case: '+ case' })[from] ?? from,
    fromHeard: (from: string): string => `Read ${FROM[from] ?? from}`,
    withWhat: (instrument: string, from: string): string =>
        from === 'hook' ? instrument : `${instrument}, ${FROM[from] ?? from}`,
    offset: (from: string, after: Piece | null): Phrase => {
        const word = from === 'hook' ? 'with what is to be added' : `read ${FROM[from] ?? from}`;
        return after === null ? say`${word}` : say`${word}: ${after} from point to point`;
    },
    add: 'To be added',
    addHint: 'Such as half the tube, where the tape lay on its skin: 7/8 in',
    stand: (stand: string): string => `The shell stands as in “${stand}”.`,
    toInstruments: 'Instruments',
    toStands: 'The shell was moved',

    pickPoint: 'Pick a point',
    pickTitle: (end: string, others: readonly string[]): string => (others.length > 0 ? `${end}, with ${list(others)}` : end),
    swap: 'Exchange the points',
    search: 'Find a point, or name a new one',
    makePoint: (label: string): string => `Make “${label}” a new point`,
    found: 'Found',
    recent: 'Read lately',
    near: (label: string): string => `Near ${label}`,
    all: 'All points',
    others: 'All others',
    taped: 'taped already',
    blocked: 'cannot be taped',
    noPoints: 'No points yet. Name the first one above, or put the hard points in at Start.',

    nothingTyped: 'Nothing typed',
    begin: 'Pick the points, then key what it says.',
    typeValue: 'Key what the tape says first.',
    pickFirst: (end: string): string => `Pick the point first: ${end.toLowerCase()}.`,
    next: 'Worth reading next',
    thenAgain: (left: number): string => (left === 1 ? 'Then read again, the last of them' : `Then read again, ${left} left`),
    nextLine: (kind: string, a: string, b: string): string => {
        const word = isKind(kind) ? kinds.word[kind] : kind;
        return kind === 'tape' ? `${a} to ${b}` : `${word}, ${a} to ${b}`;
    },
    line: (kind: string, points: readonly string[]): string => {
        const [a = '', b = '', c = '', d = ''] = points;
        switch (kind) {
            case 'tape':
                return `${a} to ${b}`;
            case 'rise':
            case 'slope':
                return `${kinds.word[kind]}, ${a} to ${b}`;
            case 'corner':
                return `Corner at ${b}, ${a} to ${c}`;
            case 'string':
                return `${a} off the string ${b} to ${c}`;
            case 'face':
                return `${a} off the face ${b}, ${c}, ${d}`;
            default:
                return `${isKind(kind) ? kinds.word[kind] : kind} of ${a}`;
        }
    },

    loggedAt: (reading: string): string => `Reading ${reading}, logged just now`,
    logged: (reading: string): string => `Logged as ${reading}.`,
    nothingYet: 'Nothing to compare it with yet.',
    verdict: (verdict: Compared['verdict']): string =>
        ({ fits: 'Fits', 'look-again': 'Look again', off: 'Off', 'nothing-to-compare': 'Logged' })[verdict],
    /** Beside the mark of a reading that was just logged and asks for nothing. */
    saidShort: (compared: Compared): Phrase => {
        if (compared.verdict === 'fits' && compared.residual !== null) {
            return say`within ${value(Math.abs(compared.residual), compared.quantity, true)} of what the others expect`;
        }
        switch (compared.why) {
            case 'new-point':
            case 'open-point':
                return compared.point === null
                    ? say`No other reading has this point yet.`
                    : say`The others do not pin down ${name(compared.point)} yet.`;
            case 'new-stand':
                return say`No slope or rise was read in this stand yet.`;
            case 'too-uncertain':
                return compared.smallest_visible_slip === null
                    ? say`No slip in it would show.`
                    : say`A slip of up to ${value(compared.smallest_visible_slip, compared.quantity, true)} would not show.`;
            default:
                return say`Nothing else checks this reading.`;
        }
    },
    off: (compared: Compared, kind: Kind): Phrase =>
        say`Off by ${value(Math.abs(compared.residual ?? 0), compared.quantity)} ${way(kind, compared.residual ?? 0)}`,
    way,
    /** Under a number to which an offset was added. */
    pointToPoint: 'yours, from point to point',
    againSaid: (again: Again, quantity: 'length' | 'angle'): Phrase => {
        if (again.agree) return say`Twice the same: ${name(again.name)} said ${value(again.earlier, quantity)} too.`;
        const aside = again.set_aside ? say` ${name(again.name)} is set aside for it.` : [];
        return say`${name(again.name)} said ${value(again.earlier, quantity)}, ${value(Math.abs(again.apart), quantity)} apart.${aside}`;
    },
    again: {
        head: (reading: string): string => `Reading ${reading} once more.`,
        what: 'Hold the tape anew, then key what it says.',
    },
    blind: {
        head: (person: string): string => `Second reading, by ${person}.`,
        what: 'The first number is hidden until this one is logged.',
        how: 'The other person reads the same line without seeing the first number. Hand the tape and the tablet over.',
        by: (person: string): string => `Hand over to ${person}`,
        other: 'Somebody else',
        go: 'Hand over',
        nobody: 'Nobody of the crew is named yet. Write who reads it.',
    },
    keep: 'Keep',
    keptWhy: 'looked at again at the tape, and kept',
    readAgain: 'Read again',
    readBlind: 'Second reading, blind',
    goOn: 'Leave it open and go on',

    recentHead: 'The last readings',
    hidden: 'hidden',
    readingTitle: (reading: string): string => `Reading ${reading}`,
    typedBy: (typed: string, by: string): string => (by === '' ? `Typed ${typed}.` : `Typed ${typed}, read by ${by}.`),
    because: (why: string): string => `Because: ${why}.`,
    correct: 'Correct what was typed',
    correctValue: 'What it should say',
    correctHint: 'As it is written on paper or was called out. The old value is kept in the history.',
    whyCorrect: 'Why',
    correctNow: (value: string): string => (value.trim() === '' ? 'Correct it' : `Correct to ${value}`),
    setAside: 'Set aside',
    setAsideNow: (reading: string): string => `Set ${reading} aside`,
    bringBack: (state: string): string => (state === 'kept' ? 'No longer keep on purpose' : 'Bring back'),
    whyAside: 'Why',
    reasons: ['misread', 'tape bent or sagged', 'wrong point', 'shell was moved'],
    orSay: 'Or in your words',
    allOfIt: 'All about this reading',

    plan: 'plan',
    ahead: 'ahead',
    planHeard: (ends: readonly string[]): string =>
        ends.length > 0 ? `The shell from above, with ${list(ends)}.` : 'The shell from above.',
};
