// What happens to a reading that is off: it is told at once, read again, set aside, brought back.

import assert from 'node:assert/strict';

import { journey } from '../harness/journey.mjs';

/** A line of the demo job, and what a tape says there. */
const LINE = ['floor-front-R', 'roof-front'];
const TRUE = '48 1/2 in';
const BURNED = '49 1/2 in';

journey('a burned inch is caught at the tape and read again', {}, async ({ device, screens, step }) => {
    device.trammel('demo');
    await screens.open('measure');
    await screens.pick(...LINE);
    await screens.key(BURNED);
    assert.equal(await screens.log(), 'off');
    const said = await screens.one('answer').textContent();
    assert.match(said, /long/);
    assert.match(said, /1 inch mark/);

    step('reading it again');
    await screens.touch('answer-again');
    await screens.key(TRUE);
    assert.equal(await screens.log(), 'fits');

    const readings = await screens.readings();
    const [burned, again] = readings.slice(-2);
    assert.equal(burned.value, BURNED);
    assert.equal(burned.state, 'set aside');
    assert.match(burned.why, new RegExp(`read again: ${again.name}`));
    assert.equal(again.value, TRUE);
    assert.equal(again.state, '');
});

journey('a suspect is set aside with a reason and brought back', {}, async ({ device, screens, step }) => {
    device.trammel('demo');
    device.trammel('read', 'tape', ...LINE, BURNED, '--by', 'Book');
    await screens.open('measure');
    const [suspect] = (await screens.readings()).slice(-1);
    const line = screens.one('recent-line', `[data-name="${suspect.name}"]`);
    await line.getByText('Suspect').waitFor();

    step('setting it aside');
    await screens.touch(line);
    await screens.touch('recent-set-aside');
    const panel = screens.one('panel');
    await screens.touch(panel.locator('label').filter({ has: screens.page.locator('input[type=radio]') }).first());
    await screens.touch(panel.locator('button[type=submit]'));
    await line.getByText('Set aside').waitFor();
    const aside = (await screens.readings()).find(({ name }) => name === suspect.name);
    assert.equal(aside.state, 'set aside');
    assert.notEqual(aside.why, '');

    step('bringing it back');
    await screens.touch(line);
    await screens.touch('recent-bring-back');
    await line.getByText('Suspect').waitFor();
    const back = (await screens.readings()).find(({ name }) => name === suspect.name);
    assert.equal(back.state, '');
    assert.equal(back.value, BURNED);
});

journey('a reading is undone and done again', {}, async ({ device, screens, step }) => {
    device.trammel('demo');
    await screens.open('measure');
    const before = await screens.readings();
    await screens.pick(...LINE);
    await screens.key(TRUE);
    await screens.log();
    const logged = (await screens.readings()).at(-1);
    assert.equal(logged.value, TRUE);

    step('undoing it');
    await screens.touch('measure-undo');
    await screens.one('notice').waitFor();
    assert.deepEqual(
        (await screens.readings()).map(({ name }) => name),
        before.map(({ name }) => name),
    );
    assert.equal(await screens.one('recent-line', `[data-name="${logged.name}"]`).count(), 0);

    step('doing it again');
    await screens.touch('notice-act');
    await screens.one('recent-line', `[data-name="${logged.name}"]`).waitFor();
    assert.equal((await screens.readings()).at(-1).value, TRUE);
});

journey('a reading that is off is undone where it is told', { at: ['phone'] }, async ({ device, screens }) => {
    device.trammel('demo');
    await screens.open('measure');
    const before = (await screens.readings()).length;
    await screens.pick(...LINE);
    await screens.key(BURNED);
    assert.equal(await screens.log(), 'off');
    await screens.touch('answer-undo');
    await screens.one('notice').waitFor();
    assert.equal((await screens.readings()).length, before);
});
