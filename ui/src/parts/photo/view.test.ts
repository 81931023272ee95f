import { describe, expect, test } from 'vitest';

import { drawn, held, lookingAt, nearer, onPhoto, type Pixel, pixelOf, type Place, placeOf, pushed, type Size, type View, WHOLE } from './view';

const PHONE: Size = { width: 390, height: 480 };
const LYING: Size = { width: 4032, height: 3024 };
const UPRIGHT: Size = { width: 3024, height: 4032 };
const PLACES: Place[] = [
    { x: 0, y: 0 },
    { x: 0.25, y: 0.75 },
    { x: 0.5, y: 0.5 },
    { x: 1, y: 1 },
];

function same(a: Pixel | Place, b: Pixel | Place): void {
    expect(a.x).toBeCloseTo(b.x, 9);
    expect(a.y).toBeCloseTo(b.y, 9);
}

describe('what of a photo is shown', () => {
    test('the whole photo fits, as large as it can be, in the middle', () => {
        same(pixelOf({ x: 0, y: 0 }, WHOLE, LYING, PHONE), { x: 0, y: (480 - 292.5) / 2 });
        same(pixelOf({ x: 1, y: 1 }, WHOLE, LYING, PHONE), { x: 390, y: (480 + 292.5) / 2 });
        same(pixelOf({ x: 0, y: 0 }, WHOLE, UPRIGHT, PHONE), { x: (390 - 360) / 2, y: 0 });
    });

    test('a place goes to its pixel and comes back the same, however near and wherever the view is', () => {
        for (const photo of [LYING, UPRIGHT]) {
            for (const near of [1, 1.7, 6, 16]) {
                const view: View = held({ middle: { x: 0.3, y: 0.8 }, near }, photo, PHONE);
                for (const place of PLACES) same(placeOf(pixelOf(place, view, photo, PHONE), view, photo, PHONE), place);
            }
        }
    });

    test('what is under the fingers stays there while they spread', () => {
        const at = { x: 130, y: 250 };
        const before = placeOf(at, WHOLE, LYING, PHONE);
        const view = nearer(WHOLE, LYING, PHONE, 4, at);
        same(placeOf(at, view, LYING, PHONE), before);
        const further = nearer(view, LYING, PHONE, 1.5, { x: 200, y: 240 });
        same(placeOf({ x: 200, y: 240 }, further, LYING, PHONE), placeOf({ x: 200, y: 240 }, view, LYING, PHONE));
    });

    test('it comes no farther than the whole photo and no nearer than sixteen times', () => {
        expect(nearer(WHOLE, LYING, PHONE, 0.2, { x: 10, y: 10 })).toEqual(WHOLE);
        expect(nearer(WHOLE, LYING, PHONE, 1000, { x: 10, y: 10 }).near).toBe(16);
    });

    test('a photo pushed away stops with its edge at the edge of the glass', () => {
        const near = nearer(WHOLE, LYING, PHONE, 3, { x: 195, y: 240 });
        const left = pushed(near, LYING, PHONE, { x: 5000, y: 0 });
        expect(pixelOf({ x: 0, y: 0 }, left, LYING, PHONE).x).toBeCloseTo(0, 9);
        const right = pushed(near, LYING, PHONE, { x: -5000, y: 0 });
        expect(pixelOf({ x: 1, y: 0 }, right, LYING, PHONE).x).toBeCloseTo(390, 9);
    });

    test('a glass that is turned keeps the place in the middle and how near it is', () => {
        const turned: Size = { width: PHONE.height, height: PHONE.width };
        const view = lookingAt(nearer(WHOLE, LYING, PHONE, 5, { x: 195, y: 240 }), LYING, PHONE, { x: 0.4, y: 0.55 });
        same(placeOf({ x: 195, y: 240 }, view, LYING, PHONE), { x: 0.4, y: 0.55 });
        same(placeOf({ x: 240, y: 195 }, held(view, LYING, turned), LYING, turned), { x: 0.4, y: 0.55 });
        expect(drawn(view, LYING, turned).width / drawn(WHOLE, LYING, turned).width).toBeCloseTo(5, 9);
    });

    test('a pin is never set beside the photo', () => {
        expect(onPhoto({ x: -0.2, y: 1.4 })).toEqual({ x: 0, y: 1 });
        expect(onPhoto({ x: 0.2, y: 0.4 })).toEqual({ x: 0.2, y: 0.4 });
    });
});
