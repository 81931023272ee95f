import { expect, it } from 'vitest';

import { hull } from './plan';

it('the line round the points touches the outer ones alone', () => {
    const square = [
        [0, 0],
        [10, 0],
        [10, 10],
        [0, 10],
        [5, 5],
        [5, 0],
    ].map(([x = 0, y = 0], index) => ({ label: String(index), x, y }));
    const round = hull(square).map((point) => point.label);
    expect([...round].sort()).toEqual(['0', '1', '2', '3']);
});
