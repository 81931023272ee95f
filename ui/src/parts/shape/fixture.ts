// A small invented shell for the tests of the drawing.

import type { ShapeLine, ShapePoint, ShapeShown } from '../../gen/wire';

type Vec = [number, number, number];

/** Numbers that look random and are the same each time: a linear congruential generator, Numerical Recipes' constants. */
export function seeded(seed: number): () => number {
    let state = seed >>> 0;
    return () => {
        state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
        return state / 2 ** 32;
    };
}

export const pointAt = (label: string, place: Vec | null, more: Partial<ShapePoint> = {}): ShapePoint => ({
    label,
    side: null,
    mirror: null,
    status: 'fixed',
    place,
    is_rough: false,
    places: null,
    sd_mm: [1, 1, 1],
    axes_95_mm: [
        [5, 0, 0],
        [0, 3, 0],
        [0, 0, 2],
    ],
    directions: [],
    weakest: null,
    off_mirror: null,
    doubt: null,
    readings: [],
    held_out: 0,
    photos: 0,
    ...more,
});

export const lineOf = (reading: string, points: string[], path: Vec[], more: Partial<ShapeLine> = {}): ShapeLine => ({
    reading,
    kind: 'tape',
    points,
    by: 'Book',
    stand: '',
    instrument: '',
    epoch: '',
    state: 'fits',
    group: null,
    held_out: false,
    off: null,
    quantity: 'length',
    path,
    ...more,
});

export const shapeOf = (points: ShapePoint[], lines: ShapeLine[] = [], more: Partial<ShapeShown> = {}): ShapeShown => ({
    points,
    lines,
    outline: [],
    plane: null,
    worst: null,
    frame: null,
    box: null,
    epochs: [''],
    epoch: '',
    people: [],
    stands: [],
    instruments: [],
    unsolved: null,
    ...more,
});
