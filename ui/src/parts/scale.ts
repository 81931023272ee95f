// The graduations of a drawn blade or dial: which marks there is room for, how long each is, which carry a figure.

import { INCH_MM, type Unit } from '../numbers/length';

export interface Tick {
    /** Where, from the left edge, in px. */
    px: number;
    /** 0 is the finest mark drawn; each next rank is longer. */
    rank: number;
    /** The figure beside it, in whole units; nothing where it carries none. */
    figure: number | null;
}

export interface Scale {
    px: (value: number) => number;
    ticks: Tick[];
}

interface Graduation {
    /** Steps from fine to coarse, each a divisor of the next. */
    steps: readonly number[];
    /** The steps that carry figures. */
    figured: readonly number[];
    /** What a figure counts. */
    one: number;
    /** The least that is ever shown across the blade. */
    least: number;
}

const inches = (steps: readonly number[]): number[] => steps.map((step) => step * INCH_MM);

export const GRADUATIONS: Record<Unit | 'deg', Graduation> = {
    in: {
        steps: inches([1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 6, 12, 60, 120]),
        figured: inches([1, 6, 12, 60, 120]),
        one: INCH_MM,
        least: 1.5 * INCH_MM,
    },
    mm: { steps: [1, 5, 10, 50, 100, 500, 1000], figured: [10, 50, 100, 500, 1000], one: 1, least: 26 },
    deg: { steps: [0.1, 0.5, 1, 5, 10, 30, 90], figured: [1, 5, 10, 30, 90], one: 1, least: 2.2 },
};

/** Nearer than this, marks run into each other. */
const MARKS_APART_PX = 9;
const FIGURES_APART_PX = 58;
const LONGEST_RANK = 4;

/** A scale that shows all the values with room beside them. */
export function scaleOver(values: readonly number[], width: number, graduation: Graduation): Scale {
    const low = Math.min(...values);
    const high = Math.max(...values);
    const room = Math.max((high - low) / 0.62, graduation.least);
    const from = (low + high) / 2 - room / 2;
    const perUnit = width / room;
    const px = (value: number): number => (value - from) * perUnit;

    const { steps, figured, one } = graduation;
    const fits = (step: number, apart: number): boolean => step * perUnit >= apart;
    const coarsest = steps[steps.length - 1] as number;
    const finest = steps.find((step) => fits(step, MARKS_APART_PX)) ?? coarsest;
    const figures = figured.find((step) => fits(step, FIGURES_APART_PX)) ?? coarsest;
    const drawn = steps.filter((step) => step >= finest);

    const ticks: Tick[] = [];
    const last = Math.floor((from + room) / finest + 1e-9);
    for (let count = Math.ceil(from / finest - 1e-9); count <= last; count += 1) {
        const value = count * finest;
        const rank = drawn.reduce((best, step, index) => (isMultiple(value, step) ? index : best), 0);
        const figure = isMultiple(value, figures) ? Math.round(value / one) : null;
        ticks.push({ px: px(value), rank: Math.min(rank, LONGEST_RANK), figure });
    }
    return { px, ticks };
}

function isMultiple(value: number, step: number): boolean {
    const times = value / step;
    return Math.abs(times - Math.round(times)) < 1e-6;
}
