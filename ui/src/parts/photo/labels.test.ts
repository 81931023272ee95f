import { expect, test } from 'vitest';

import { type Labelled, placed } from './labels';

const GLASS = { width: 390, height: 300 };
const label = (id: string, x: number, y: number, width = 90): Labelled => ({ id, at: { x, y }, width, height: 26 });

/** A row of numbers that looks random and is always the same. */
function* scattered(seed: number): Generator<number> {
    for (let state = seed; ; ) {
        state = (state * 48271) % 2147483647;
        yield state / 2147483647;
    }
}

function boxes(labels: readonly Labelled[]) {
    const found = placed(labels, GLASS);
    return labels.flatMap(({ id, width, height }) => {
        const at = found.get(id);
        return at ? [{ id, left: at.x, top: at.y, right: at.x + width, bottom: at.y + height }] : [];
    });
}

test('a label alone stands right of its pin, or left of it at the right edge', () => {
    expect(placed([label('a', 100, 100)], GLASS).get('a')).toEqual({ x: 117, y: 87, isFar: false });
    expect(placed([label('a', 380, 100)], GLASS).get('a')).toEqual({ x: 273, y: 87, isFar: false });
});

test('labels never overlap, never lie on a pin and never leave the photo, however close the pins are', () => {
    let drawn = 0;
    for (let seed = 1; seed <= 60; seed += 1) {
        const next = scattered(seed);
        const number = () => next.next().value as number;
        const spread = seed % 3 === 0 ? 60 : 380;
        const labels = Array.from({ length: 14 }, (_, index) =>
            label(`p${index}`, 5 + number() * spread, 5 + number() * (spread === 60 ? 60 : 290), 60 + number() * 80),
        );
        const all = boxes(labels);
        if (spread === 380) drawn += all.length;
        for (const [index, one] of all.entries()) {
            expect(one.left >= 0 && one.top >= 0 && one.right <= GLASS.width && one.bottom <= GLASS.height).toBe(true);
            for (const other of all.slice(index + 1)) {
                const isApart = one.right <= other.left || other.right <= one.left || one.bottom <= other.top || other.bottom <= one.top;
                expect(isApart, `${one.id} and ${other.id} of ${seed}`).toBe(true);
            }
            for (const { at } of labels) {
                const isOn = at.x > one.left && at.x < one.right && at.y > one.top && at.y < one.bottom;
                expect(isOn, `${one.id} of ${seed}`).toBe(false);
            }
        }
    }
    // Of those that lie apart most find room: a rule that leaves them all out would keep the other promises too.
    expect(drawn).toBeGreaterThan(40 * 14 * 0.6);
});

test('the first in the order takes the best place', () => {
    const pair = [label('a', 100, 100), label('b', 100, 100)];
    expect(placed(pair, GLASS).get('a')).toEqual({ x: 117, y: 87, isFar: false });
    expect(placed(pair.toReversed(), GLASS).get('b')).toEqual({ x: 117, y: 87, isFar: false });
});

test('a pin that is pushed out of sight carries no label', () => {
    expect(placed([label('a', -5, 100)], GLASS).has('a')).toBe(false);
});

test('what lies on the glass is not covered', () => {
    const free = placed([label('a', 150, 100)], GLASS, [{ x: 160, y: 80, width: 90, height: 40 }]).get('a');
    expect(free).toEqual({ x: 43, y: 87, isFar: false });
});
