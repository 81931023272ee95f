// The shell drawn in the window: in space by WebKit, the worst point, two epochs over each other.

import assert from 'node:assert/strict';
import { join } from 'node:path';

import { EPOCHS } from '../journeys/harness/places.mjs';
import { room } from './harness/crew.mjs';
import { journey } from './harness/journey.mjs';

journey('the worst point is found on the shell, with why and the reading that would help', async ({ device, open, step }) => {
    device.trammel('demo');
    const window = await open();
    await room(window, 'shape');
    step('waiting for it to be drawn in space');
    await window.until(() => document.querySelector('[data-testid="shape-space"][data-drawn="true"]') !== null);
    const worst = await window.until(() => document.querySelector('[data-testid="shape-worst"]')?.textContent);
    await window.touch('shape-worst');
    step('seeing why');
    await window.until(() => document.querySelector('[data-testid="shape-read"]') !== null);
    const picked = await window.page.run(() => new URLSearchParams(location.hash.split('?')[1]).get('point'));
    assert.ok(worst.includes(picked), `${worst} tells of ${picked}`);
    step('starting the reading that would help');
    await window.touch('shape-read');
    await window.until(() => document.querySelector('[data-testid="log"]') !== null);
    const ends = [await window.text('from'), await window.text('to')];
    assert.ok(ends.some((end) => end.includes(picked)), `${ends} has ${picked}`);
    await window.end();
});

journey('two epochs are compared in the window', async ({ device, open, step }) => {
    device.trammel('demo');
    device.trammel('job', 'import', join(EPOCHS, 'after-welding.csv'), '--job', 'demo');
    const told = device.trammel('job', 'compare', '', 'after welding');
    const window = await open();
    await room(window, 'shape');
    await window.touch('shape-compare');
    step('comparing');
    const moved = await window.until(() => {
        const rows = [...document.querySelectorAll('[data-testid="shape-moved"]')];
        return rows.length > 0 && rows.map((row) => row.dataset.value);
    });
    for (const label of moved.slice(0, 2)) assert.ok(told.includes(label), `${label} moved, and the command line says:\n${told}`);
    await window.touch('shape-moved');
    await window.end();
});
