// Photos in the window: taken in by its file field, shown by the window's own scheme, pinned and found again.

import assert from 'node:assert/strict';

import { photo } from '../journeys/harness/photos.mjs';
import { room } from './harness/crew.mjs';
import { journey } from './harness/journey.mjs';

/** The left arrow, as WebDriver writes it (https://www.w3.org/TR/webdriver2/#keyboard-actions). */
const LEFT = '\uE012';
const POINTS = ['roof-front', 'hoop-foot-L', 'sill-rear-L'];

journey('a photo is taken in, three points are pinned on it, and it is found again from one of them', async ({ device, open, step }) => {
    device.trammel('demo');
    const window = await open();
    await room(window, 'photos');
    step('taking it in');
    await window.until(() => document.querySelector('[data-testid="photo-choose"]') !== null);
    await window.page.write(await window.page.find('[data-testid="photo-choose"]'), photo('shell-turned'));
    await window.touch('photo-tile', ':last-of-type');
    step('looking at it');
    const shown = await window.until(() => {
        const img = document.querySelector('[data-testid="photo-stage"] img[data-size="large"]');
        return img?.complete && [new URL(img.src).protocol, img.naturalWidth, img.naturalHeight];
    });
    assert.deepEqual(shown, ['photo:', 675, 900], 'it comes by the scheme, upright');

    for (const [turn, label] of POINTS.entries()) {
        step(`pinning ${label}`);
        await window.touch('photo-add-pin');
        const stage = await window.page.find('[data-testid="photo-stage"]');
        await window.page.write(stage, LEFT.repeat(1 + 20 * turn));
        await window.touch('photo-set-pin');
        await window.write('point-search', label);
        await window.touch('point-choice', `[data-label="${label}"]`);
        await window.until((label) => document.querySelector(`[data-testid="photo-pin"][data-label="${label}"]`) !== null, label);
    }

    step('finding it again');
    await room(window, 'points?point=hoop-foot-L');
    await window.touch('photo-strip', ' a');
    const pressed = await window.until(() => document.querySelector('[data-testid="photo-pin"][data-label="hoop-foot-L"]')?.getAttribute('aria-pressed'));
    assert.equal(pressed, 'true', 'the point that was asked for is picked');
    await window.end();

    const listed = device.trammel('photo', 'list');
    for (const label of POINTS) assert.ok(listed.includes(label), listed);
});
