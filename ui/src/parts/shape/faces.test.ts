import { expect, it } from 'vitest';

import { facesOf, isSeen, rings } from './faces';
import { pointAt, shapeOf } from './fixture';
import { dot } from './vector';

/** A box of 2000 by 1000 by 800 with a bolt in the middle of it. */
const corner = (x: number, y: number, z: number): string => `${x}${y}${z}`;
const BITS = [0, 1];
const corners = BITS.flatMap((x) => BITS.flatMap((y) => BITS.map((z) => [x, y, z] as const)));
const edges = corners.flatMap(([x, y, z]) =>
    [
        [x + 1, y, z],
        [x, y + 1, z],
        [x, y, z + 1],
    ].flatMap(([a, b, c]): [string, string][] => (Math.max(a!, b!, c!) > 1 ? [] : [[corner(x, y, z), corner(a!, b!, c!)]])),
);
const points = [
    ...corners.map(([x, y, z]) => pointAt(corner(x, y, z), [2000 * x, 1000 * y, 800 * z])),
    pointAt('bolt', [900, 450, 300]),
];

it('a box has six faces, each with its outside outside', () => {
    const faces = facesOf(shapeOf(points, [], { outline: edges }));
    expect(faces).toHaveLength(6);
    for (const { corners, outward } of faces) {
        const middle = [1000, 500, 400].map((at, axis) => corners[0]![axis]! - at) as [number, number, number];
        expect(dot(outward, middle)).toBeGreaterThan(0);
    }
    // From ahead, from the left and from above at once three of them are seen.
    expect(faces.filter((face) => isSeen(face, [0.6, 0.5, 0.62]))).toHaveLength(3);
});

it('a wall inside the shell is no face, nor is what an edge cuts short', () => {
    const inside: [string, string][] = [
        ['000', 'bolt'],
        ['100', 'bolt'],
        ['010', 'bolt'],
        ['110', 'bolt'],
    ];
    const bolt = points.at(-1)!.place!;
    expect(facesOf(shapeOf(points, [], { outline: [...edges, ...inside] })).every(({ corners }) => !corners.includes(bolt))).toBe(true);
    expect(rings([['a', 'b'], ['b', 'c'], ['c', 'd'], ['d', 'a']])).toEqual([['a', 'b', 'c', 'd']]);
    expect(rings([['a', 'b'], ['b', 'c'], ['c', 'd'], ['d', 'a'], ['a', 'c']])).toEqual([
        ['a', 'b', 'c'],
        ['a', 'c', 'd'],
    ]);
});

it('slivers and what is bent are left out', () => {
    const bent = [pointAt('a', [0, 0, 0]), pointAt('b', [1000, 0, 0]), pointAt('c', [1000, 1000, 700]), pointAt('d', [0, 1000, 0])];
    expect(facesOf(shapeOf(bent, [], { outline: [['a', 'b'], ['b', 'c'], ['c', 'd'], ['d', 'a']] }))).toEqual([]);
    const thin = [pointAt('a', [0, 0, 0]), pointAt('b', [1000, 0, 0]), pointAt('c', [500, 20, 0]), pointAt('d', [0, 0, 900])];
    expect(facesOf(shapeOf(thin, [], { outline: [['a', 'b'], ['b', 'c'], ['c', 'a']] }))).toEqual([]);
});
