import { describe, expect, test } from 'vitest';

import { INCH_MM } from '../numbers/length';
import { GRADUATIONS, scaleOver } from './scale';

const figuresOf = (scale: ReturnType<typeof scaleOver>): number[] =>
    scale.ticks.flatMap((tick) => (tick.figure === null ? [] : [tick.figure]));

describe('the graduations of a drawn blade', () => {
    test('an inch off on a tablet shows whole inches with figures and sixteenths between them', () => {
        const scale = scaleOver([54.3125 * INCH_MM, 55.4375 * INCH_MM], 772, GRADUATIONS.in);
        expect(figuresOf(scale)).toEqual([54, 55]);
        const [first, second] = scale.ticks;
        const apart = ((second?.px ?? 0) - (first?.px ?? 0)) / 772;
        expect(apart * (1.125 / 0.62)).toBeCloseTo(1 / 16, 6);
    });

    test('marks are never nearer than nine pixels, however far off a reading is', () => {
        for (const off of [0.5, 5, 25.4, 304.8, 3000]) {
            for (const width of [320, 772]) {
                for (const unit of ['in', 'mm'] as const) {
                    const { ticks } = scaleOver([1400, 1400 + off], width, GRADUATIONS[unit]);
                    expect(ticks.length).toBeGreaterThan(2);
                    ticks.slice(1).forEach((tick, index) => {
                        expect(tick.px - (ticks[index]?.px ?? 0)).toBeGreaterThan(8.9);
                    });
                }
            }
        }
    });

    test('both values lie on the blade with room beside them', () => {
        const scale = scaleOver([10, 90], 400, GRADUATIONS.mm);
        expect(scale.px(10)).toBeGreaterThan(60);
        expect(scale.px(90)).toBeLessThan(340);
    });

    test('a rise below zero carries figures with their sign', () => {
        expect(figuresOf(scaleOver([-2.2 * INCH_MM, -1 * INCH_MM], 700, GRADUATIONS.in))).toEqual([-2, -1]);
    });

    test('the same value twice still shows a stretch of blade', () => {
        const { ticks } = scaleOver([1400, 1400], 360, GRADUATIONS.mm);
        expect(ticks.length).toBeGreaterThan(10);
    });
});
