// What is on the pad stays there: when the battery dies, when the tablet is turned. And it is quick to use.

import assert from 'node:assert/strict';

import { browser, freshPage, SIZES } from '../harness/chromium.mjs';
import { journey } from '../harness/journey.mjs';
import { Screens } from '../harness/screens.mjs';

/** From opening Measure to a logged reading. */
const MOST_TOUCHES = 8;

journey('what was typed when everything was killed is there after the next start', {}, async ({ device, size, step, restart }) => {
    device.trammel('demo');
    const doomed = await browser({ killable: true });
    try {
        const page = await freshPage(doomed, size);
        const first = new Screens(page, device, step);
        await first.open('measure');
        await first.pick('floor-front-R', 'roof-front');
        await first.key('48 9/16 in');
        await first.settled();
        step('killing browser and bridge');
        doomed.kill();
        await device.stop('SIGKILL');
    } finally {
        doomed.kill();
    }

    const second = await restart();
    await second.open('measure');
    assert.deepEqual([await second.endShows(0), await second.endShows(1)], ['floor-front-R', 'roof-front']);
    assert.equal(await second.typed(), '48 9/16 in');
    await second.log();
    assert.equal((await second.readings()).at(-1).value, '48 9/16 in');
});

journey('turning the tablet keeps what was typed', { at: ['phone', 'tablet'] }, async ({ device, screens, size, step, page }) => {
    device.trammel('demo');
    await screens.open('measure');
    await screens.pick('floor-front-R', 'roof-front');
    await screens.key('48 9/16 in');
    for (const [width, height] of [
        [size.height, size.width],
        [size.width, size.height],
    ]) {
        step(`turning it to ${width} x ${height}`);
        await page.setViewportSize({ width, height });
        await screens.settled();
        assert.equal(await screens.typed(), '48 9/16 in');
        assert.deepEqual([await screens.endShows(0), await screens.endShows(1)], ['floor-front-R', 'roof-front']);
        await screens.one('log').scrollIntoViewIfNeeded();
        assert.ok(await screens.one('log').isVisible());
    }
    assert.equal(await screens.log(), 'fits');
});

journey(`a reading between two recent points takes ${MOST_TOUCHES} touches at most`, {}, async ({ device, screens, step }) => {
    device.trammel('demo');
    await screens.open('measure');
    const before = (await screens.readings()).length;
    screens.touches = 0;
    await screens.touch('from');
    const recent = screens.one('panel').locator('section').first().locator('[data-testid="point-choice"]');
    await screens.touch(recent.nth(2));
    await screens.touch(recent.nth(4));
    await screens.key('42 3/8 in');
    await screens.touch('log');
    const touches = screens.touches;
    await screens.one('answer').waitFor();
    step('counting');
    assert.equal((await screens.readings()).length, before + 1);
    assert.ok(touches <= MOST_TOUCHES, `it took ${touches} touches`);
});

journey('a reading is logged by the keyboard alone', { at: ['desktop'] }, async ({ device, screens, page, step }) => {
    device.trammel('demo');
    await screens.open('measure');
    const focused = () => page.evaluate(() => document.activeElement?.dataset.testid ?? document.activeElement?.tagName);
    const tabTo = async (id) => {
        for (let press = 0; press < 40 && (await focused()) !== id; press += 1) await page.keyboard.press('Tab');
        assert.equal(await focused(), id);
    };

    step('picking the points');
    await tabTo('from');
    await page.keyboard.press('Enter');
    for (const label of ['floor-front-R', 'roof-front']) {
        await tabTo('point-search');
        await page.keyboard.type(label);
        await page.keyboard.press('Enter');
    }
    await screens.one('panel').waitFor({ state: 'detached' });
    assert.deepEqual([await screens.endShows(0), await screens.endShows(1)], ['floor-front-R', 'roof-front']);

    step('typing the value');
    await page.keyboard.type('48 1/2');
    assert.match(await screens.one('value').textContent(), /48/);
    await page.keyboard.press('Enter');
    assert.equal(await screens.verdict(), 'fits');
    const reading = (await screens.readings()).at(-1);
    assert.equal(reading.mm_or_deg, 48.5 * 25.4);

    step('going to another room');
    await tabTo('tab');
    await page.keyboard.press('Enter');
    await screens.settled();
    assert.notEqual(await page.evaluate(() => location.hash), '#/measure');
});
