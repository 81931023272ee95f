// The shell, drawn.

import type { Doubt, LineState, QuantityWord, ReadingLine } from '../../gen/wire';
import { HALF_WIDTH_95 } from '../../numbers/length';
import { angle, half, length, name, type Phrase, type Piece, say } from '../phrase';
import { common, count } from './common';
import { lists } from './lists';

const value = (amount: number, quantity: QuantityWord, up = false): Piece =>
    quantity === 'angle' ? angle(amount, up) : length(amount, up);

const markOf = (kind: Doubt['kind']): string =>
    kind === 'shared-cause' ? common.marks.suspect : kind === 'sheet-problem' ? common.marks['look-again'] : common.marks[kind];

export const shape = {
    views: { space: '3D', plan: 'Plan', side: 'Side', end: 'End' },
    viewHead: 'View',
    show: 'Show',
    centre: 'Centre',
    ahead: 'ahead',
    keys: 'Arrow keys turn it, with Shift they move it. Plus and minus make it larger and smaller, Home shows the whole, 1 to 4 pick the view. Points can also be picked from the list.',
    preparing: 'Preparing the drawing.',
    heard: (view: string, points: number, doubts: number): string =>
        `The shell, ${view}: ${count(points, 'point')}${doubts > 0 ? `, ${count(doubts, 'doubt')} called out` : ''}.`,
    viewHeard: { space: 'in space', plan: 'from above', side: 'from the right side', end: 'from behind' },
    flatOnly: 'This device cannot draw the view that turns. Plan, side and end show the same.',

    /** Under the drawing. */
    drawn: (factor: number): string => `Ellipsoids hold 95 in 100, drawn ${factor === 1 ? 'as large as they are' : `${factor} times size`}.`,
    drawnShort: (factor: number): string => `Ellipsoids 95 in 100, ${factor === 1 ? 'true size' : `${factor} times size`}.`,
    floor: (square: number): Phrase => say`Floor squares ${length(square)}.`,
    floorShort: (square: number): Phrase => say`Squares ${length(square)}.`,
    rough: 'Rough places as they were typed: nothing is pinned down yet.',

    /** A doubt in a box on the drawing. */
    callout(doubt: Doubt, reading: (name: string) => ReadingLine | undefined): Phrase {
        const mark = markOf(doubt.kind);
        const [point = ''] = doubt.points;
        const many = doubt.readings.length;
        switch (doubt.kind) {
            case 'suspect':
                return doubt.amount === null ? say`${mark}` : say`${mark}, off by ${value(doubt.amount, doubt.quantity)}`;
            case 'shared-cause':
                return say`${mark}, ${count(many, 'reading')} alike`;
            case 'unclear':
                return say`${mark}, 1 of ${many}`;
            case 'unchecked':
                return many === 1 && reading(doubt.readings[0] ?? '') ? say`${mark}, ${doubt.readings[0] ?? ''}` : say`${mark}, ${count(many, 'reading')}`;
            case 'look-again':
                return say`${mark}, ${doubt.readings[0] ?? ''}`;
            case 'islands':
                return say`${mark}, ${count(doubt.points.length, 'point')}`;
            case 'not-straight':
                return say`${mark}, ${doubt.pair?.right ?? point}`;
            default:
                return say`${mark}, ${point || (doubt.readings[0] ?? '')}`;
        }
    },

    nothing: {
        head: 'Nothing to draw yet.',
        how: 'Six readings between four points make a first shape.',
        act: 'Take a reading',
        working: 'Working out where the points are.',
    },

    overview: {
        head: (points: number, lines: number): string => `${count(points, 'point')}, ${count(lines, 'reading')}`,
        pick: 'Touch a point or a line, or find a point in the list.',
        find: 'Find a point',
        search: 'Find a point',
        worst: 'Least certain point',
        worstAct: (label: string): string => `Look at ${label}`,
        doubts: (many: number): string => (many === 0 ? 'No doubts open' : `${count(many, 'doubt')} open`),
        compare: 'Compare two epochs',
        compareMore: 'What moved between them',
    },

    showPanel: {
        title: 'What is drawn',
        parts: {
            readings: 'Readings',
            ellipsoids: 'Ellipsoids',
            labels: 'Names',
            doubts: 'Doubts',
            floor: 'Floor',
            pairs: 'Mirror pairs',
            plane: 'Mid-plane',
        },
        only: 'Only readings',
        any: 'Any',
        by: 'By',
        stand: 'In the stand',
        instrument: 'Read with',
        state: 'How they stand',
        epoch: 'Epoch',
        newest: 'The newest',
    },
    states: {
        'set-aside': 'Set aside',
        suspect: 'Suspect',
        unclear: 'Unclear',
        unchecked: 'Unchecked',
        'look-again': 'Look again',
        fits: 'Fits',
        unused: 'Not used',
    } as const satisfies Record<LineState, string>,
    epochName: (epoch: string): string => (epoch === '' ? 'before any epoch was named' : epoch),
    filtered: (parts: readonly string[]): string => `Only readings ${parts.join(', ')}`,
    filterBy: (by: string): string => `by ${by}`,
    filterStand: (stand: string): string => `in the stand ${stand}`,
    filterInstrument: (instrument: string): string => `with ${instrument}`,
    filterState: (state: string): string => `that are: ${state.toLowerCase()}`,
    ofEpoch: (epoch: string): string => `As of: ${epoch}`,
    showAll: 'Show all',
    showNewest: 'Show the newest',

    point: {
        heldBy: (readings: number, heldOut: number): string => {
            if (readings === 0) return 'No reading holds it';
            const head = `${count(readings, 'reading')} ${readings === 1 ? 'holds' : 'hold'} it`;
            return heldOut === 0 ? head : `${head}, ${heldOut} held out`;
        },
        axes: lists.point.axes,
        way: (axis: number, mm: number): string => lists.point.ways[axis]?.[mm < 0 ? 0 : 1] ?? '',
        exact: 'exact',
        toMirror: (mirror: string): string => `To its mirror, ${mirror}`,
        offMirror: 'Off the mirror of it',
        weakest: 'Weakest direction',
        weakestOf: { along: 'along the car', across: 'across the car', up: 'up and down' } as const,
        noPlace: 'Where it is cannot be said yet.',
        isRough: 'Only the rough place that was typed: no reading places it.',
        isLoose: 'It can move along the arrows. Where it is drawn is one place of many.',
        isTwo: 'The readings fit two places. Both are drawn, joined by dots.',
        helps: 'Would help most',
        read: 'Read it',
        readings: (many: number): string => (many === 1 ? 'Its reading' : `Its ${many} readings`),
        readingsOf: (label: string): string => `Readings of ${label}`,
        photos: (many: number): string => (many === 0 ? 'Photos' : `Photos, ${many}`),
        photosOf: (label: string): string => `Photos of ${label}`,
        doubts: (many: number): string => (many === 1 ? 'Its doubt' : `Its ${many} doubts`),
        doubtsOf: (label: string): string => `Doubts about ${label}`,
        measure: 'Measure from here',
        distance: 'Distance to another point',
        allOf: (label: string): string => `${label}, all about it`,
        put: 'Put away',
    },

    line: {
        title: (reading: string): string => `Reading ${reading}`,
        off: (off: number, quantity: QuantityWord): Phrase => say`The others differ by ${value(Math.abs(off), quantity)}.`,
        who: (by: string, instrument: string, stand: string, epoch: string): string =>
            [by === '' ? '' : `by ${by}`, instrument === '' ? '' : `with ${instrument}`, stand === '' ? '' : `stand ${stand}`, epoch]
                .filter(Boolean)
                .join(', '),
        heldOut: 'It counts for nothing in the points until it is settled.',
        again: 'Read again',
        open: 'All about it',
        doubt: 'Look at the doubt',
    },

    distance: {
        title: (a: string, b: string): string => `${a} to ${b}`,
        pickOther: (a: string): string => `Touch the point to which the distance from ${a} is wanted.`,
        pickList: 'Pick from the list',
        leave: 'Leave it',
        measured: (readings: readonly string[]): string => `Measured: ${readings.join(', ')}.`,
        notMeasured: 'Nobody measured it: it follows from the other readings.',
        none: 'It is not determined.',
        measureIt: 'Measure it',
        measureAgain: 'Measure it once more',
        other: 'To another point',
    },

    epochs: {
        title: 'Two epochs',
        before: 'Before',
        after: 'After',
        working: 'Comparing the epochs.',
        drawn: (factor: number): string => `Before thin, after heavy. Arrows are drawn ${factor === 1 ? 'as long as they are' : `${factor} times size`}.`,
        moved: (many: number): string => (many === 0 ? 'No point is seen to move' : `${count(many, 'point')} moved`),
        movedWhat: 'More than the readings leave open, the surest first.',
        unclear: 'Cannot tell',
        unclearWhat: 'Something moved here, and the readings do not say which.',
        still: (many: number): string => `${count(many, 'point')} not seen to move`,
        stillWhat: 'A smaller move than the ± would not show.',
        notCompared: 'Not compared',
        why: (why: string): string =>
            ({
                'only before': 'read only before',
                'only after': 'read only after',
                'open before': 'not pinned down before',
                'open after': 'not pinned down after',
                'open in both': 'pinned down in neither',
            })[why] ?? why,
        noStill: 'Too few points kept their places against each other to say which of them moved.',
        restOff: 'What is not seen to move does not lie as the readings allow. Look at the doubts of both epochs.',
        by: (mm: number, sd: number): Phrase => say`${length(mm)} ${half(HALF_WIDTH_95 * sd)}`,
        leave: 'Back to the shape',
    },

    pick: {
        way: 'Pick from',
        list: 'List',
        shape: 'On the shape',
        photo: 'On a photo',
        heard: (picked: readonly string[]): string => (picked.length === 0 ? 'The shell. Touch a point to pick it.' : `The shell. Picked: ${picked.join(', ')}.`),
    },
    showOn: 'Show on the shape',
    showOnShort: 'On the shape',
    showOnWhat: 'Where it runs on the shell, and how it stands there.',
    least: (label: string, mm: number): Phrase => say`${name(label)}, ${half(mm)}`,
};
