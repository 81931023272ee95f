// The same journeys as in the browser, in the window that people start: the desk behind Tauri, WebKit before it.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

import { key, makeJob, measure, pick, room, verdict } from './harness/crew.mjs';
import { journey } from './harness/journey.mjs';

journey('a crew starts the window for the first time and logs its first reading', async ({ device, open, step }) => {
    const window = await open();
    step('making a job');
    await makeJob(window, 'Shell 7', 'Anna');
    step('logging');
    await measure(window);
    await pick(window, 'sill mid L', 'hoop foot R');
    await key(window, '42 3/8 in');
    await window.touch('log');
    await verdict(window);
    await window.end();

    step('looking at what was kept');
    isLogged(device.trammel('job', 'readings'), '42 3/8 in');
});

journey('a burned inch is caught in the window and read again', async ({ device, open, step }) => {
    device.trammel('demo');
    const window = await open();
    await measure(window);
    await pick(window, 'floor-front-R', 'roof-front');
    step('logging a burned inch');
    await key(window, '49 1/2 in');
    await window.touch('log');
    assert.equal(await verdict(window), 'off');
    assert.match(await window.text('answer'), /1 inch mark/);

    step('reading it again');
    await window.touch('answer-again');
    await key(window, '48 1/2 in');
    await window.touch('log');
    assert.equal(await verdict(window), 'fits');
    await window.end();

    const readings = device.trammel('job', 'readings');
    isLogged(readings, '48 1/2 in');
    isLogged(readings, 'read again');
});

journey('what was typed when the window was killed is there after the next start', async ({ device, open, step }) => {
    device.trammel('demo');
    const first = await open();
    await measure(first);
    await pick(first, 'floor-front-R', 'roof-front');
    await key(first, '48 9/16 in');
    step('killing the window');
    first.kill();
    await first.end();

    const second = await open();
    await measure(second);
    step('looking at the pad');
    const shown = await second.until(() => document.querySelector('[data-testid="value"] .figure .heard')?.textContent);
    assert.equal(shown.trim(), '48 9/16 in');
    assert.match(await second.text('from'), /floor-front-R/);
    assert.match(await second.text('to'), /roof-front/);
    await second.touch('log');
    await verdict(second);
    await second.end();
    isLogged(device.trammel('job', 'readings'), '48 9/16 in');
});

journey('the job file is saved with the downloads, and is the one that is taken in again', async ({ device, open, step }) => {
    device.trammel('demo');
    const window = await open();
    await measure(window);
    await room(window, 'hand-off');
    step('saving twice');
    await window.until(() => document.querySelector('[data-testid="take-away"][data-value="job"]') !== null);
    for (const file of ['demo.zip', 'demo (2).zip']) {
        await window.touch('take-away', '[data-value="job"]');
        await window.until((file) => document.querySelector('[data-testid="notice"]')?.textContent.includes(file), file);
    }
    await window.end();
    const [first, second] = ['demo.zip', 'demo (2).zip'].map((file) => readFileSync(join(device.environment.HOME, 'Downloads', file)));
    assert.deepEqual(first, second, 'the same job gives the same file');
    assert.match(device.trammel('job', 'import', join(device.environment.HOME, 'Downloads', 'demo.zip')), /Nothing in .* is new/s);
});

/** Whether the list of readings that the command line gives has something in it. */
function isLogged(readings, what) {
    const last = readings.trimEnd().split('\n').slice(-3).join('\n');
    assert.ok(readings.includes(what), `${what} is not among the readings, of which the last are:\n${last}`);
}
