// Likely slips in plain words of the trade, with their odds.

import type { LikelySlipWire, QuantityWord } from '../../gen/wire';
import { angle, length, type Phrase, say } from '../phrase';
import { list } from './common';

/** The reading that a slip may have befallen; without it the words leave open which way. */
export interface SlipOf {
    kind: string;
    quantity: QuantityWord;
    /** In mm or degrees, from point to point. */
    observed: number;
    /** What it was logged as read from. */
    from: string;
}

/** Other answers than the likeliest that are told: so many, and none that is less likely than this. */
const OTHERS_TOLD = 3;
const WORTH_SAYING = 0.02;
/** Nearer than this, mm, to a mark is that mark. */
const AT_THE_MARK_MM = 6;

const PLACES: Record<string, string> = {
    '': 'from the hook',
    hook: 'from the hook',
    'burn-1in': 'from the 1 inch mark',
    'burn-100mm': 'from the 100 mm mark',
    case: 'with the case',
};
const ADDED: Record<string, number> = { '': 0, hook: 0, 'burn-1in': -25.4, 'burn-100mm': -100 };

/** Where the number was really read from, if only that was logged wrong. */
function reallyFrom(of: SlipOf, corrected: number): string {
    const added = ADDED[of.from];
    if (added === undefined) return 'without it';
    const really = Math.abs(corrected) - Math.abs(of.observed) + added;
    if (really > AT_THE_MARK_MM) return 'with the case';
    const marks = ['hook', 'burn-1in', 'burn-100mm'];
    const found = marks.find((mark) => Math.abs((ADDED[mark] ?? 0) - really) < AT_THE_MARK_MM);
    return found ? (PLACES[found] ?? 'elsewhere') : 'elsewhere';
}

/** `read from the 1 inch mark`. */
function slip(likely: LikelySlipWire, of?: SlipOf): string {
    const isLost = of && likely.corrected !== null ? Math.abs(likely.corrected) > Math.abs(of.observed) : null;
    const or = (lost: string, gained: string, open: string): string => (isLost === null ? open : isLost ? lost : gained);
    const takenTo = (what: string): string =>
        likely.belongs_to ? `taken to ${what}: ${list(likely.belongs_to)}` : `taken to ${what}`;
    switch (likely.name) {
        case 'burned-inch':
            return 'read from the 1 inch mark';
        case 'foot':
            return or('a foot lost between marks', 'a foot too many', 'a foot lost, or one too many');
        case 'decimetre':
            return or('100 mm lost between marks', '100 mm too many', '100 mm lost, or too many');
        case 'inch':
            return 'an inch lost between marks';
        case 'half-inch':
            return or('half an inch lost', 'half an inch too many', 'half an inch lost, or too many');
        case 'fraction':
            return 'read off the mark beside the right one';
        case 'digits-swapped':
            return 'two digits swapped on paper';
        case 'case-length':
            return or(
                'the case of an inside reading not added',
                'the case added where it was not used',
                'the case left out, or added where it was not used',
            );
        case 'cm-for-inch':
            return or(
                'inches written down as centimetres',
                'centimetres written down as inches',
                'inches and centimetres mixed up',
            );
        case 'from-forgotten':
            if (!of || likely.corrected === null) return 'read from another place than was logged';
            if (of.from === '' || of.from === 'hook') {
                return `read ${reallyFrom(of, likely.corrected)} on purpose, and not logged so`;
            }
            return `logged as read ${PLACES[of.from] ?? of.from}, and read ${reallyFrom(of, likely.corrected)}`;
        case 'complement':
            return of?.kind === 'corner' ? 'read from square instead of the other leg' : 'read from plumb instead of level';
        case 'supplement':
            return 'read on the other side of the leg, 180° less the corner';
        case 'sign':
            return of && ['x', 'y', 'z'].includes(of.kind) ? 'a minus sign lost, or one too many' : 'up and down mixed up';
        case 'mirror-point':
            return takenTo('the mirror point');
        case 'wrong-point':
            return takenTo('another point');
        case 'moved-mark':
            return 'a mark that moved between readings';
        case 'labels-exchanged':
            return 'two labels exchanged';
        case 'whole-sheet':
            return 'all of them read that way';
        case 'tape-bent':
            return 'the tape bent round something, or sagging: it reads long';
    }
}

/** The likeliest; nothing where "none of these" is likelier. */
function best(all: readonly LikelySlipWire[], noneOfThese: number | null): LikelySlipWire | null {
    const [first] = all;
    return first && first.odds > (noneOfThese ?? 0) ? first : null;
}

function inHundred(odds: number): string {
    const hundredths = Math.floor(odds * 100 + 1e-9);
    return hundredths >= 99 ? 'better than 99 in 100' : `${hundredths} in 100`;
}

export const slips = {
    slip,
    best,
    inHundred,

    /** `Likely slip: read from the 1 inch mark` */
    head: (all: readonly LikelySlipWire[], noneOfThese: number | null, of?: SlipOf): Phrase => {
        const likely = best(all, noneOfThese);
        if (likely) return say`Likely slip: ${slip(likely, of)}`;
        return all.length > 0 || noneOfThese !== null
            ? say`No slip on the list explains it well`
            : say`No likely slip is known`;
    },

    /** The odds, what else it can have been, and whether the other readings can prove it at all. */
    more: (all: readonly LikelySlipWire[], noneOfThese: number | null, isHardToSee: boolean, of?: SlipOf): Phrase => {
        const likely = best(all, noneOfThese);
        const said: Phrase[] = [];
        if (likely) {
            said.push(say`Odds ${inHundred(likely.odds)}.`);
            if (of && likely.corrected !== null) {
                const would = of.quantity === 'angle' ? angle(likely.corrected) : length(likely.corrected);
                said.push(say`Without it: ${would}.`);
            }
        } else if (noneOfThese !== null) said.push(say`Odds of none of these: ${inHundred(noneOfThese)}.`);
        const others = all.filter((other) => other !== likely && other.odds >= WORTH_SAYING).slice(0, OTHERS_TOLD);
        for (const other of others) said.push(say`Or ${slip(other, of)}: ${inHundred(other.odds)}.`);
        if (likely && noneOfThese !== null && noneOfThese >= WORTH_SAYING) {
            said.push(say`Or none of these: ${inHundred(noneOfThese)}.`);
        }
        if (isHardToSee) {
            said.push(
                say`So small a slip cannot be proved by the other readings. Have the other person read it again, without seeing the first number.`,
            );
        }
        return said.flatMap((one, index) => (index === 0 ? one : [' ', ...one]));
    },

    /** `Then likely read from the 1 inch mark. Odds 96 in 100.` */
    ifThisOne: (all: readonly LikelySlipWire[], noneOfThese: number | null, of?: SlipOf): Phrase => {
        const likely = best(all, noneOfThese);
        return likely ? say`Then likely ${slip(likely, of)}. Odds ${inHundred(likely.odds)}.` : [];
    },
};
