// What stands between the crew and an order for tube, in words.

import type { Accepted, CheckedShare, Doubt, Next, QuantityWord, ReadingLine, Way } from '../../gen/wire';
import { HALF_WIDTH_95 } from '../../numbers/length';
import { angle, half, joined, length, name, type Phrase, type Piece, say, typed } from '../phrase';
import { count, list } from './common';
import { measure } from './measure';

const SMALL = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine'];
const number = (of: number): string => SMALL[of] ?? String(of);
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const WAYS: Record<Way, string> = {
    long: 'long',
    short: 'short',
    wide: 'too wide',
    narrow: 'too narrow',
    more: 'too much',
    less: 'too little',
};

const value = (amount: number, quantity: QuantityWord, up = false): Piece =>
    quantity === 'angle' ? angle(amount, up) : length(amount, up);

function amountOf(doubt: Doubt): Phrase {
    if (doubt.amount === null) return say`by one amount`;
    const way = doubt.way === null ? '' : ` ${WAYS[doubt.way]}`;
    return say`${value(doubt.amount, doubt.quantity)}${way}`;
}

/** `ahead or back`: the ways along a unit vector, x ahead, y left, z up. */
function ways(along: readonly number[]): string {
    const most = Math.max(...along.map(Math.abs));
    const named = ['ahead and back', 'left and right', 'up and down'].filter(
        (_, axis) => Math.abs(along[axis] ?? 0) > 0.4 * most,
    );
    return named.join(' together with ');
}

function sharedHead(doubt: Doubt): Phrase {
    const [a = '', b = ''] = doubt.points;
    const many = number(doubt.readings.length);
    switch (doubt.cause) {
        case 'moved-mark':
            return say`The mark of ${a} moved`;
        case 'labels-exchanged':
            return say`${a} and ${b} are exchanged in ${many} readings`;
        case 'mirror-point':
            return say`${a} and ${b}, left and right, are swapped in ${many} readings`;
        case 'wrong-point':
            return say`${a} and ${b} are mixed up in ${many} readings`;
        default:
            return say`${capital(many)} readings are all ${amountOf(doubt)}`;
    }
}

function looseHead(doubt: Doubt): Phrase {
    const [point = ''] = doubt.points;
    const free = doubt.directions.length;
    if (free === 2) return say`${point} can move in two ways`;
    if (free >= 3) return say`${point} can be anywhere`;
    return free === 1 && doubt.tapes + doubt.others >= 2 ? say`${point} can swing` : say`${point} can move`;
}

function looseWhy({ tapes, others, directions }: Doubt): Phrase {
    const [way] = directions;
    const moves = directions.length === 1 && way ? ` It can move ${ways(way)}.` : '';
    if (others > 0) {
        const both = [tapes > 0 ? count(tapes, 'tape') : '', count(others, 'other reading')].filter(Boolean);
        return say`${capital(list(both))} do not pin it down.${moves}`;
    }
    if (tapes === 0) return say`No reading that counts holds it. Tape it from at least four points.`;
    if (tapes === 1) return say`Only one tape holds it.${moves}`;
    if (tapes === 2) return say`Only two tapes hold it.${moves}`;
    return say`${capital(number(tapes))} tapes hold it, and do not pin it down.${moves}`;
}

/** The axis along which two places, or a pair, are farthest apart. */
function farthest(parts: readonly number[]): number {
    return parts.reduce((best, part, axis) => (Math.abs(part) > Math.abs(parts[best] ?? 0) ? axis : best), 0);
}

function twoPlacesWhy(doubt: Doubt): Phrase {
    if (!doubt.places) return say`The readings fit both.`;
    const [one, other] = doubt.places;
    const axis = farthest(one.map((part, index) => part - other[index]!));
    const words = ['one ahead of the other', 'one left of the other', 'one above the other'][axis] ?? '';
    const apart = doubt.amount ?? Math.abs(one[axis]! - other[axis]!);
    return say`They lie ${length(apart)} apart, ${words}.`;
}

/** Which component of a pair stands out most against its own uncertainty. */
function pairAxis({ off_mm, sd_mm }: NonNullable<Doubt['pair']>): number {
    return farthest(off_mm.map((off, axis) => off / Math.max(sd_mm[axis] ?? 1, 1e-9)));
}
const SITS = [
    ['sits back', 'sits ahead'],
    ['sits out', 'sits in'],
    ['sits low', 'sits high'],
] as const;
const BESIDE = [
    ['behind', 'ahead of'],
    ['outside', 'inside'],
    ['below', 'above'],
] as const;
const side = (off: number): 0 | 1 => (off < 0 ? 0 : 1);

function straightWhy(doubt: Doubt): Phrase {
    if (!doubt.pair) return say`${doubt.said ?? 'Left and right are not alike.'}`;
    if (doubt.pairs.length > 1) {
        return say`${count(doubt.pairs.length, 'pair')} of points ${doubt.pairs.length === 1 ? 'is' : 'are'} not alike, ${doubt.pair.right} most surely. The readings cannot explain it.`;
    }
    const axis = pairAxis(doubt.pair);
    const off = doubt.pair.off_mm[axis] ?? 0;
    const around = half(HALF_WIDTH_95 * (doubt.pair.sd_mm[axis] ?? 0));
    const where = BESIDE[axis]?.[side(off)] ?? 'off';
    return say`${length(Math.abs(off))} ${where} the mirror image of ${doubt.pair.left}, ${around}. The readings cannot explain it.`;
}

/** A reading and its number: `hinge low L to hoop foot R, logged 55 7/16 in`. */
function logged(reading: ReadingLine | undefined): Phrase {
    if (!reading) return [];
    const line = measure.line(reading.kind, reading.points);
    if (reading.mm_or_deg === null) return say`${line}, logged ${reading.value}`;
    return say`${line}, logged ${value(reading.mm_or_deg, reading.quantity)}`;
}

const between = (reading: ReadingLine | undefined, known: string): string =>
    reading ? measure.line(reading.kind, reading.points) : known;

export const doubts = {
    open: (many: number): string => `${count(many, 'doubt')} open`,
    between: 'They stand between you and an order for tube. Settle the top one first: others may go with it.',
    betweenOne: 'It stands between you and an order for tube.',
    place: (at: number, of: number): string => `${at} of ${of}`,
    listHeard: 'Doubts, what matters most first',
    findingHeard: 'The doubt that is picked',
    working: 'Working out what follows from the readings.',
    also: (mark: string, reading: string): string => `${mark}, ${reading}`,

    /** The doubt in one line, its numbers set as numbers. */
    headline(doubt: Doubt, reading: (name: string) => ReadingLine | undefined = () => undefined): Phrase {
        const [point = ''] = doubt.points;
        const many = doubt.readings.length;
        switch (doubt.kind) {
            case 'suspect':
                return say`Off by ${amountOf(doubt)}`;
            case 'shared-cause':
                return sharedHead(doubt);
            case 'unclear': {
                if (many <= 1) return say`Something is off here`;
                const which = `One of ${number(many)}`;
                return doubt.amount === null
                    ? say`${which} is off`
                    : say`${which} is off by about ${value(doubt.amount, doubt.quantity)}`;
            }
            case 'loose':
                return looseHead(doubt);
            case 'two-places':
                return say`${point} has two places`;
            case 'not-read':
                return doubt.points.length === 1 ? say`${point} is not read yet` : say`${count(doubt.points.length, 'point')} not read yet`;
            case 'islands':
                return say`${count(doubt.points.length, 'point')} not joined to the rest`;
            case 'mirror-image':
                return say`It may be the mirror image`;
            case 'differs':
                return say`The devices disagree`;
            case 'look-again':
                return doubt.amount === null ? say`Fits poorly` : say`Fits poorly, ${amountOf(doubt)}`;
            case 'unchecked':
                return many === 1
                    ? say`Nothing checks ${between(reading(doubt.readings[0] ?? ''), doubt.readings[0] ?? '')}`
                    : say`Nothing checks ${number(many)} readings`;
            case 'not-straight': {
                const ways = [doubt.racked ? 'racked' : '', doubt.twisted ? 'twisted' : ''].filter(Boolean);
                if (ways.length > 0) return say`The shell is ${list(ways)}`;
                if (!doubt.pair) return say`The shell is not straight`;
                if (doubt.pairs.length > 1) return say`${doubt.pairs.length} pairs are not alike`;
                const axis = pairAxis(doubt.pair);
                return say`${doubt.pair.right} ${SITS[axis]?.[side(doubt.pair.off_mm[axis] ?? 0)] ?? 'sits off'}`;
            }
            case 'sheet-problem':
                return say`Something typed cannot be used`;
        }
    },

    /** Where it is, and what is known of it. */
    whyOf(doubt: Doubt, reading: (name: string) => ReadingLine | undefined, about = ''): Phrase {
        const [first = ''] = doubt.readings;
        switch (doubt.kind) {
            case 'suspect':
            case 'look-again':
                return logged(reading(first));
            case 'shared-cause':
                return doubt.held_out
                    ? say`${doubts.names(doubt.readings)}. Until it is settled they count for nothing in the points.`
                    : say`${doubts.names(doubt.readings)}. Without them points could move, so they stay in.`;
            case 'unclear': {
                const lines = doubt.readings.slice(0, 3).map((one) => [between(reading(one), one)]);
                const more = doubt.readings.length - lines.length;
                return [...joined(lines, ', ', ', or '), more > 0 ? `, or ${more} more` : ''];
            }
            case 'loose':
                return looseWhy(doubt);
            case 'two-places':
                return twoPlacesWhy(doubt);
            case 'not-read':
                return doubt.points.length === 1
                    ? say`Tape it from at least four points.`
                    : say`${doubts.some(doubt.points)}. Tape each from at least four points.`;
            case 'islands':
                return say`${doubts.some(doubt.points)}. Tape at least six lines across.`;
            case 'mirror-image':
                return say`Tapes alone cannot tell left from right. Say one point that is above, or level one line.`;
            case 'differs': {
                const values = joined(doubt.values.map((said) => [typed(said.shown)]), ', ', ' or ');
                return say`${first === '' ? about : between(reading(first), first)}: ${values}`;
            }
            case 'unchecked': {
                const which = doubt.readings.length === 1 ? '' : `${doubts.names(doubt.readings)}. `;
                return doubt.slip === null
                    ? say`${which}No slip in it would show.`
                    : say`${which}A slip of up to ${value(doubt.slip, doubt.quantity, true)} would not show.`;
            }
            case 'not-straight':
                return straightWhy(doubt);
            case 'sheet-problem':
                return say`${doubt.said ?? ''}`;
        }
    },

    /** What it is about, for a row with room for a name alone. */
    short(doubt: Doubt, reading: (name: string) => ReadingLine | undefined): Phrase {
        const [first = ''] = doubt.readings;
        const [point = ''] = doubt.points;
        switch (doubt.kind) {
            case 'unclear':
                return say`${doubt.readings.length > 1 ? `1 of ${doubt.readings.length}, ` : ''}${point || between(reading(first), first)}`;
            case 'loose':
            case 'two-places':
                return say`${point}`;
            case 'unchecked':
            case 'differs':
                return say`${doubt.readings.length > 1 ? doubts.names(doubt.readings) : between(reading(first), first || point)}`;
            case 'not-straight':
                return say`${doubt.pair?.right ?? doubts.some(doubt.points)}`;
            default:
                return doubts.headline(doubt);
        }
    },

    /** `r012, r014 and r020`, or how many from which to which. */
    names(readings: readonly string[]): string {
        if (readings.length <= 6) return list(readings);
        return `${readings.length} readings from ${readings[0]} to ${readings[readings.length - 1]}`;
    },
    some(points: readonly string[]): string {
        if (points.length <= 4) return list(points);
        return `${points.slice(0, 3).join(', ')} and ${points.length - 3} more`;
    },

    /** The one action that settles it. */
    act(doubt: Doubt, isShort = false): string {
        const { settle } = doubt;
        switch (settle.do) {
            case 'read-again': {
                const many = settle.readings.length;
                if (many <= 1) return 'Read again';
                if (isShort) return many === 2 ? 'Read both' : `Read all ${many}`;
                return many === 2 ? 'Read both again' : `Read all ${many} again`;
            }
            case 'read-next': {
                if (doubt.kind === 'unchecked') return isShort ? 'Add check' : 'Add a check';
                if (doubt.kind === 'islands') return isShort ? 'Join' : 'Join them';
                if (settle.kind === 'rise') return isShort ? 'Read rise' : 'Read the rise';
                if (settle.kind !== 'tape') return 'Read it';
                if (doubt.kind === 'loose') {
                    if (doubt.tapes === 2 && doubt.others === 0) return 'Tape a third';
                    return doubt.tapes > 0 ? 'Tape one more' : 'Tape it';
                }
                if (doubt.kind === 'not-read') return doubt.points.length === 1 ? 'Tape it' : isShort ? 'Tape one' : 'Tape the next';
                return isShort ? 'Tape it' : 'Tape once more';
            }
            case 'choose':
                return isShort ? 'Choose' : 'Choose one';
            case 'say-above':
                return isShort ? 'Say which' : 'Say what is above';
            case 'undo-swap':
                return isShort ? 'Swap' : 'Swap them back';
            case 'say-from':
                return isShort ? 'Say from' : 'Say where from';
            case 'accept':
                return isShort ? 'Look' : 'Look, then accept';
            case 'look':
                return 'Look at it';
        }
    },
    /** What a button does, read out. */
    actHeard: (act: string, headline: string): string => `${act}: ${headline}`,
    openHeard: (headline: string): string => `All about: ${headline}`,
    keep: 'Keep',
    keepLong: 'Keep it',
    setAside: 'Set aside',
    accept: 'Accept the shell as it is',

    next: {
        head: 'Worth reading next',
        act: 'Read it',
        now: 'now',
        then: 'then',
        becomes: 'becomes',
        worst: 'Worst point',
        why(next: Next): Phrase {
            const point = next.point === null ? 'a point that can move' : next.point;
            const reading = next.reading ?? 'a reading';
            switch (next.why) {
                case 'pins':
                    return say`Pins ${point}.`;
                case 'settles':
                    return say`Settles where ${point} is.`;
                case 'tells-apart':
                    return say`Tells apart which reading is off.`;
                case 'read-again':
                    return say`Reads ${reading} once more.`;
                case 'checks':
                    return say`Checks ${reading}.`;
                case 'steadies':
                    return next.point === null ? say`Steadies the worst point.` : say`Steadies ${point}.`;
            }
        },
    },

    none: {
        head: 'No doubts open',
        nothingYet: 'No readings yet',
        nothingYetWhat: 'Nothing is checked before something is read. Six readings between four points make a first shape.',
        measure: 'Take a reading',
        unsolved: 'Nothing is pinned down yet',
        checked: (share: CheckedShare): Phrase => {
            const { used, checked, unchecked, least_checked } = share;
            const many = count(used, 'reading');
            const head =
                used === 0
                    ? say`No reading counts in the points.`
                    : unchecked === 0
                      ? say`${many}, each checked by others`
                      : checked === 0
                        ? say`${many}, and nothing checks any of them.`
                        : say`${many}: ${checked} checked by others, ${unchecked} by nothing`;
            if (least_checked === null || checked === 0) return used === 0 || checked === 0 ? head : [...head, '.'];
            const slip = value(least_checked.slip, least_checked.quantity, true);
            return say`${head}; the least checked, ${least_checked.reading}, would hide a slip of ${slip}.`;
        },
        /** What does not count, so that nobody takes it for checked. */
        left: (share: CheckedShare): string => {
            const parts = [
                share.held_out > 0 ? `${share.held_out} held out` : '',
                share.set_aside > 0 ? `${share.set_aside} set aside` : '',
                share.kept > 0 ? `${share.kept} kept on purpose` : '',
            ].filter(Boolean);
            return parts.length > 0 ? `Besides: ${list(parts)}.` : '';
        },
        worst: (point: string, sdMm: number): Phrase =>
            say`The least certain point is ${name(point)}, ${half(HALF_WIDTH_95 * sdMm)}.`,
        /** A crooked shell that the crew takes as it is. */
        accepted: ({ racked, twisted, pairs, why }: Accepted): string => {
            const what = [racked ? 'racked' : '', twisted ? 'twisted' : '', pairs.length > 0 ? `${count(pairs.length, 'pair')} not alike` : ''];
            return `Accepted as it is: ${list(what.filter(Boolean))}. Because: ${why}.`;
        },
        blindHead: 'A second, blind reading would tighten these',
        blindWhy: 'The others check them least. A small slip in one of them shows only if somebody reads it anew without seeing the first number.',
        blindAct: 'Second reading',
        blindHeard: (reading: string): string => `Second, blind reading of ${reading}`,
    },

    /** The finding: everything about one doubt. */
    found: {
        title: (mark: string, at: number, of: number): string => `${mark}, ${at} of ${of}`,
        readings: 'Readings in it',
        points: 'Points in it',
        notAlike: 'Left against right, mirrored in the middle of all pairs. Tape the lines at what is off again. If it stays, settle whether the shell is straightened or the tube made to fit.',
        /** How far, of a shell that is racked or twisted. */
        crooked: (way: 'racked' | 'twisted', { value: off, sd }: { value: number; sd: number }): Phrase =>
            way === 'racked'
                ? say`Racked: the ${off >= 0 ? 'left' : 'right'} side sits ${length(Math.abs(off))} ahead of the other, ${half(HALF_WIDTH_95 * sd)}.`
                : say`Twisted: towards the front the ${off >= 0 ? 'left' : 'right'} side rises by ${angle(Math.abs(off))}, ± ${angle(HALF_WIDTH_95 * sd, true)}.`,
        pairHead: (right: string, left: string): string => `${right} against the mirror image of ${left}`,
        axes: ['ahead', 'to the left', 'up'] as const,
        back: ['back', 'to the right', 'down'] as const,
        heldOut: (many: number): string =>
            many === 1
                ? 'Until it is settled it counts for nothing in the points.'
                : 'Until they are settled they count for nothing in the points.',
        staysIn: (many: number): string =>
            many === 1
                ? 'It stays in the points: without it a point could move.'
                : 'They stay in the points: without them a point could move.',
        lookAgain: 'It fits poorly, but no worse than one in a big survey may. It is kept in the points.',
        ifThisOne: (off: number, quantity: QuantityWord, way: string): Phrase =>
            say`If it is this one: off by ${value(off, quantity)} ${way}.`,
        either: (point: string): string => `${point} is at one place or the other`,
        place: (at: number): string => (at === 0 ? 'Here' : 'or here'),
        freeWays: (directions: readonly (readonly number[])[]): string => directions.map(ways).join('; '),
        hold: 'Tape it from points on other sides, and from other heights.',
        belongs: 'Which devices said what',
        saidBy: (by: string, when: string): string => (by === '' ? when : `${by}, ${when}`),
        lastCounts: 'Until someone chooses, the last one counts.',
        lookAt: (what: string): string => (what === '' ? 'Look at them' : `Look at ${what}`),
        againHeard: (reading: string): string => `Read ${reading} again`,
        allOf: (reading: string): string => `All about ${reading}`,
    },

    choose: {
        title: 'Choose one',
        what: (about: string): string => `Two devices wrote different things: ${about}.`,
        act: (shown: string): string => `Choose ${shown}`,
        chosen: (shown: string): string => `${shown} counts now.`,
    },
    above: {
        title: 'Which point is above?',
        what: 'Pick any point that plainly lies above most of the others, such as one on the roof. It tells the shell from its mirror image.',
        search: 'Find a point',
        done: (point: string): string => `${point} is above.`,
    },
    swap: {
        title: 'Swap them back',
        what: (a: string, b: string, readings: readonly string[]): string =>
            `In ${doubts.names(readings)}, ${a} becomes ${b} and ${b} becomes ${a}. What was logged stays in the history.`,
        act: (many: number): string => `Correct ${count(many, 'reading')}`,
        why: (a: string, b: string): string => `${a} and ${b} were exchanged`,
        done: (many: number): string => `${count(many, 'reading')} corrected.`,
    },
    from: {
        title: 'Where were they read from?',
        what: (readings: readonly string[]): string =>
            `What you pick is said of ${doubts.names(readings)}. What was logged stays in the history.`,
        likely: 'likely',
        why: 'read from there, all of them',
        act: (many: number, from: string): string => `Say so of ${count(many, 'reading')}: ${from}`,
        zero: 'If it is none of these, look at the zero of what they were read with, at Instruments.',
    },
    acceptPanel: {
        title: 'Accept the shell as it is',
        what: 'What is crooked now is no doubt any longer, and is told beside what was checked. Whatever else comes out crooked later is a doubt again.',
        reasons: ['looked at, the shell is like that', 'will be straightened before the cage', 'tube is made to fit'],
        done: 'Accepted as it is.',
    },
    keepPanel: {
        title: (reading: string): string => `Keep ${reading}`,
        what: 'It counts in the points again, and is shown as kept. Why it is right stands beside it.',
        reasons: ['read twice, the same both times', 'looked at, the shell is like that', 'read by two people'],
        act: (reading: string): string => `Keep ${reading}`,
        done: (reading: string): string => `${reading} is kept.`,
    },
    asidePanel: {
        title: (reading: string): string => `Set ${reading} aside`,
        what: 'It no longer counts, and stays in the log with the reason.',
        reasons: ['misread', 'tape bent or sagged', 'wrong point', 'shell was moved'],
        act: (reading: string): string => `Set ${reading} aside`,
        done: (reading: string): string => `${reading} is set aside.`,
    },
    why: 'Why',
    orSay: 'Or in your words',
    sayWhy: 'Say why: it stands in the log beside what was done.',

    /** A reading on a drawn blade. */
    blade: {
        others: 'the others put it at',
        logged: 'you logged',
        loggedBy: (by: string): string => (by === '' ? 'logged' : `${by} logged`),
        apart: 'apart by',
    },
};
