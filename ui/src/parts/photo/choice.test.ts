import { describe, expect, test } from 'vitest';

import type { PhotoLine, ReadingLine } from '../../gen/wire';
import { photosOf, toPickOn, toPin } from './choice';

function photo(id: string, pins: string[], more: Partial<PhotoLine> = {}): PhotoLine {
    return {
        id,
        width: 4032,
        height: 3024,
        bytes: 1,
        file: `${id}.jpg`,
        taken: '',
        caption: '',
        point: null,
        reading: null,
        by: 'Anna',
        removed: false,
        here: true,
        pins: pins.map((point, index) => ({ id: `${id}-${index}`, point, x: 0.5, y: 0.5, note: '' })),
        ...more,
    };
}
const reading = (name: string, ...points: string[]): ReadingLine => ({ name, points }) as ReadingLine;
const ids = (photos: readonly PhotoLine[]): string => photos.map(({ id }) => id).join(' ');

describe('the photos of a point or a reading', () => {
    const all = [
        photo('old', ['a']),
        photo('taken', [], { point: 'a' }),
        photo('gone', ['a'], { removed: true }),
        photo('new', ['b', 'a']),
        photo('other', ['b']),
    ];

    test('those taken of it come first, then the newest on which it is pinned', () => {
        expect(ids(photosOf(all, { point: 'a' }))).toBe('taken new old');
    });

    test('a reading has its own and those that show both its ends', () => {
        const own = photo('own', [], { reading: 'r001' });
        expect(ids(photosOf([own, ...all], { reading: 'r001' }, reading('r001', 'a', 'b')))).toBe('own new');
    });

    test('a pin that is no point yet is of no point', () => {
        expect(photosOf([photo('note', [''])], { point: '' })).toEqual([]);
    });
});

describe('which photos to pick on come first', () => {
    test('those that show the other end, then the newest', () => {
        const all = [photo('both', ['a', 'b']), photo('b', ['b']), photo('c', ['c', 'd'])];
        expect(ids(toPickOn(all, []))).toBe('c b both');
        expect(ids(toPickOn(all, ['a', '']))).toBe('both c b');
    });

    test('those with nothing left to pick come after those that have', () => {
        expect(ids(toPickOn([photo('more', ['a', 'b']), photo('only', ['a'])], ['a']))).toBe('more only');
    });

    test('those without pins, removed or on another device are left out', () => {
        const all = [photo('bare', []), photo('gone', ['a'], { removed: true }), photo('away', ['a'], { here: false }), photo('note', [''])];
        expect(toPickOn(all, [])).toEqual([]);
    });
});

test('for a pin the point that the photo is of is offered first, and what it shows already last', () => {
    const labels = ['a', 'b', 'c', 'd', 'e'];
    const readings = [reading('r001', 'b', 'c'), reading('r002', 'e', 'a')];
    expect(toPin(photo('x', ['e'], { point: 'd' }), labels, readings)).toEqual(['d', 'a', 'b', 'c', 'e']);
    expect(toPin(photo('x', [], { reading: 'r001' }), labels, readings)).toEqual(['b', 'c', 'e', 'a', 'd']);
});
