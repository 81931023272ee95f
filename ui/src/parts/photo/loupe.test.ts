import { expect, test } from 'vitest';

import { ACROSS, loupeAt } from './loupe';

test('the loupe lies on the glass and never on the place that it shows, from the narrowest phone on', () => {
    for (const [width, height] of [[320, 240], [390, 290], [820, 600], [1280, 640]] as const) {
        for (let x = 0; x <= width; x += 13) {
            for (let y = 0; y <= height; y += 13) {
                const at = loupeAt({ x, y }, { width, height });
                const away = Math.hypot(at.x - x, at.y - y);
                expect(away, `${x}, ${y} of ${width} x ${height}`).toBeGreaterThan(ACROSS / 2 + 10);
                expect(at.x >= ACROSS / 2 && at.x <= width - ACROSS / 2 && at.y >= ACROSS / 2).toBe(true);
            }
        }
    }
});

test('where there is room, it is straight above the finger', () => {
    expect(loupeAt({ x: 200, y: 300 }, { width: 390, height: 480 })).toEqual({ x: 200, y: 182 });
});
