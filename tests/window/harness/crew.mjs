// What a crew does in the window. Things are found by the test ids of `ui/src/parts/ids.ts`.

import { keysOf } from '../../journeys/harness/screens.mjs';

export async function makeJob(window, name, person) {
    await window.until(() => document.querySelector('[data-testid="job-new"], [data-testid="job-name"]') !== null);
    if (!(await window.page.run(() => document.querySelector('[data-testid="job-name"]') !== null))) await window.touch('job-new');
    await window.write('job-name', name);
    await window.page.run(() => document.querySelector('[data-testid="job-unit"][data-value="in"]').closest('label').click());
    await window.write('job-person', person);
    await window.touch('job-make');
    await window.until(() => document.querySelector('[data-testid="tab"]') !== null);
}

export async function measure(window) {
    await room(window, 'measure');
    await window.until(() => document.querySelector('[data-testid="log"]') !== null);
}

/** Goes to a room by its address, as a link does. */
export async function room(window, address) {
    // A job that was made by the command line is opened from the list of jobs first.
    await window.until(() => document.querySelector('[data-testid="job-line"], [data-testid="tab"]') !== null);
    if (!(await window.page.run(() => document.querySelector('[data-testid="tab"]') !== null))) await window.touch('job-line');
    await window.until(() => document.querySelector('[data-testid="tab"]') !== null);
    await window.page.run((address) => (location.hash = `#/${address}`), address);
}

export async function pick(window, ...labels) {
    await window.touch('from');
    for (const label of labels) {
        await window.write('point-search', label);
        const choice = `[data-testid="point-choice"][data-label="${label}"]`;
        await window.until((choice) => document.querySelector(`${choice}, [data-testid="point-new"]`) !== null, choice);
        const isThere = await window.page.run((choice) => document.querySelector(choice) !== null, choice);
        if (isThere) await window.touch('point-choice', `[data-label="${label}"]`);
        else await window.touch('point-new');
    }
    await window.until(() => document.querySelector('[data-testid="panel"]') === null);
}

export async function key(window, text) {
    for (const [kind, name] of keysOf(text).keys) await window.touch(kind, `[data-${kind}="${name}"]`);
}

export async function verdict(window) {
    return window.until(() => document.querySelector('[data-testid="answer"]')?.dataset.verdict);
}
