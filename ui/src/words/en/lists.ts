// The lists of points and readings, and what is told of one of each.

import type { QuantityWord, VerdictWord } from '../../gen/wire';
import type { Moment } from '../../numbers/moment';
import { angle, length, type Phrase, type Piece, say } from '../phrase';
import { common, count, list } from './common';

const DAY = new Intl.DateTimeFormat('en-GB', { weekday: 'long', day: 'numeric', month: 'long' });
const DAY_AND_YEAR = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long', year: 'numeric' });

/** `Today`, `Yesterday`, `Monday 23 November`, or as it was written. */
function day(moment: Moment, now = new Date()): string {
    if (!moment.date) return moment.day === '' ? 'No day said' : moment.day.charAt(0).toUpperCase() + moment.day.slice(1);
    const midnight = (date: Date): number => new Date(date.getFullYear(), date.getMonth(), date.getDate()).getTime();
    const ago = Math.round((midnight(now) - midnight(moment.date)) / 86_400_000);
    if (ago === 0) return 'Today';
    if (ago === 1) return 'Yesterday';
    return ago > 0 && ago < 300 ? DAY.format(moment.date) : DAY_AND_YEAR.format(moment.date);
}

const value = (amount: number, quantity: QuantityWord, up = false): Piece =>
    quantity === 'angle' ? angle(amount, up) : length(amount, up);

const STATES: Record<string, string> = {
    ...common.marks,
    doubted: 'In a doubt',
    corrected: 'Corrected',
};

export const lists = {
    day,
    /** `yesterday, 17:02` */
    moment: (moment: Moment, now = new Date()): string => {
        const said = day(moment, now);
        const isWritten = !moment.date && moment.day !== '';
        const isSmall = ['Today', 'Yesterday', 'No day said'].includes(said);
        const small = isWritten ? moment.day : isSmall ? said.toLowerCase() : said;
        return moment.time === '' ? small : `${small}, ${moment.time}`;
    },

    pickOne: 'Pick one in the list.',
    more: (left: number): string => `Show more, ${left} left`,
    of: (shown: number, all: number): string => `${shown} of ${all}`,
    nothingFound: 'Nothing in the list is like that.',
    showAll: 'Show all',
    any: 'Any',
    filter: (narrowed: number): string => (narrowed === 0 ? 'Filter' : `Filter, ${narrowed} on`),
    filterTitle: 'Show only',
    stateHead: 'How it stands',
    byHead: 'Read by',
    kindHead: 'Kind',
    state: (state: string): string => STATES[state] ?? state,

    reading: {
        title: (name: string): string => `Reading ${name}`,
        nothing: 'Pick a reading to see all that is known of it.',
        search: 'Find by point, number or value',
        none: 'No readings yet.',
        noneHow: 'Every reading that is logged stands here, with who read it and when. Nothing is ever erased.',
        corrected: 'corrected',
        who: (name: string, by: string, when: string): string =>
            by === '' ? `${name}, ${when}` : `${name}, read by ${by}, ${when}`,
        typed: (text: string): string => `Typed as ${text}`,
        wasLogged: 'Corrected. It was logged as',
        stateWhy: (state: string, why: string): string => {
            const head = state === 'kept' ? 'Kept on purpose' : 'Set aside';
            return why === '' ? `${head}.` : `${head}: ${why}.`;
        },
        stands: 'How it stands to the others',
        observed: (observed: number, quantity: QuantityWord): Phrase =>
            say`From point to point it is taken for ${value(observed, quantity)}.`,
        adjusted: (adjusted: number, quantity: QuantityWord, verdict: VerdictWord): Phrase =>
            verdict === 'set aside' || verdict === 'suspect'
                ? say`The others expect ${value(adjusted, quantity)}.`
                : say`All readings together say ${value(adjusted, quantity)}.`,
        residual: (residual: number, quantity: QuantityWord, way: string): Phrase => {
            const off = Math.abs(residual);
            // Less than a mark of the tape is no way off at all.
            if (off < (quantity === 'angle' ? 0.05 : 0.8)) return say`This one is within ${value(off, quantity, true)} of that.`;
            return say`This one is ${value(off, quantity)} ${way}.`;
        },
        checkedBy: (redundancy: number | null, isUnchecked: boolean): string => {
            if (isUnchecked) return 'Nothing checks it: a slip in it would not show.';
            if (redundancy === null) return 'It counts for nothing in the points.';
            const share = Math.round(redundancy * 100);
            const how = redundancy >= 0.6 ? 'well' : redundancy >= 0.3 ? 'fairly' : 'a little';
            return `The others check it ${how}: of a slip in it, ${share} in 100 parts would show.`;
        },
        smallest: (slip: number, quantity: QuantityWord): Phrase =>
            say`The smallest slip that would show is ${value(slip, quantity, true)}.`,
        halfMeans: 'The ± beside the number is how well one such reading can be taken.',
        facts: 'As it was logged',
        from: 'Read',
        add: 'Added',
        ownSd: 'Own deviation',
        stand: 'Stand',
        epoch: 'Epoch',
        note: 'Note',
        inDoubts: (many: number): string => `In ${count(many, 'open doubt')}`,
        history: 'What became of it',
        tellHistory: 'Show its history',
        noHistory: 'Nothing is in the history about it.',
        more: 'More',
        correct: 'Correct',
        keep: 'Keep on purpose',
        keepWhat: 'It counts, whatever the others say.',
        setAside: 'Set aside',
        blindWhat: 'The other person reads the same line without seeing the first number.',
        backWhat: 'It counts again as any other.',
        broughtBack: (name: string): string => `${name} is back.`,
    },

    correct: {
        title: (name: string): string => `Correct ${name}`,
        means: 'Taken for',
        nothing: 'Nothing is changed yet.',
        noPoint: 'A point is missing.',
        unread: 'The value cannot be read as it is.',
        reasons: ['written down wrong', 'other points', 'read from another mark', 'other instrument'],
        act: (name: string): string => `Correct ${name}`,
        done: (name: string): string => `${name} is corrected. The old value is in the history.`,
    },

    point: {
        title: 'Point',
        nothing: 'Pick a point to see where it is, and how surely.',
        search: 'Find a point',
        filterHead: 'Which points',
        filters: { all: 'All', loose: 'Open', unread: 'Not read', doubted: 'In a doubt' },
        none: 'No points yet.',
        noneHow: 'Put the hard points in at Start, or name the first two at Measure.',
        toStart: 'List the hard points',
        side: (side: string): string => ({ left: 'left', right: 'right', centre: 'centre' })[side] ?? 'no side said',
        held: (readings: number, heldOut: number): string => {
            const head = readings === 0 ? 'No reading touches it' : `${count(readings, 'reading')} ${readings === 1 ? 'touches' : 'touch'} it`;
            return heldOut === 0 ? `${head}.` : `${head}, ${heldOut} held out.`;
        },
        axes: ['x', 'y', 'z'] as const,
        ways: [
            ['back', 'ahead'],
            ['to the right', 'to the left'],
            ['down', 'up'],
        ] as const,
        noPlace: 'Where it is cannot be said yet.',
        noPlaceOf: (mark: string): string => `Where it is cannot be said yet: ${mark.toLowerCase()}.`,
        weakest: 'Weakest direction',
        weakestOf: ['ahead and back', 'across the car', 'up and down'] as const,
        mirror: 'Its mirror',
        mirrorOff: (right: string, left: string): string => `${right} from the mirror image of ${left}`,
        noMirror: 'none said',
        touching: 'Readings that touch it',
        untouched: 'None yet.',
        facts: 'What was said of it',
        sideHead: 'Side',
        rough: 'Rough place',
        fixed: 'Exact',
        note: 'Note',
        joined: 'Joined with it',
        takeApart: (label: string): string => `Take ${label} apart again`,
        tookApart: (label: string): string => `${label} is a point of its own again.`,
        tape: 'Tape it',
        tapeTo: (line: string): string => `Next best: ${line}`,
        describe: 'Name, side, place',
        join: 'Join',
        joinTitle: (label: string): string => `Which point is the same mark as ${label}?`,
        joinWhat: (label: string): string =>
            `${label} goes into the point that you pick, and its readings with it. It can be taken apart again.`,
        joinedNow: (label: string, into: string): string => `${label} is one mark with ${into} now.`,
        joinAsk: (label: string, into: string): string => `Join ${label} with ${into}`,
        change: {
            title: (label: string): string => `Change ${label}`,
            name: 'Name',
            side: 'Side',
            sides: { '': 'Not said', left: 'Left', right: 'Right', centre: 'Centre' },
            mirror: 'Mirror partner',
            pickMirror: 'Pick its partner',
            noMirror: 'No partner',
            rough: 'Rough place, as well as you know it',
            roughHint: 'As you would type a length. It only tells where to begin, unless it is said to be exact.',
            x: 'x, ahead',
            y: 'y, to the left',
            z: 'z, up',
            fixed: 'Exact are',
            fixedHint: 'Letters such as xyz, where the place was given and not measured; else nothing.',
            note: 'Note',
            act: 'Keep this',
            done: (label: string): string => `${label} is changed.`,
            nothing: 'Nothing is changed.',
        },
        joinedWith: (labels: readonly string[]): string => `joined with ${list(labels)}`,
    },
};
