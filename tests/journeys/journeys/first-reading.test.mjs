// From the first start to the first reading.

import assert from 'node:assert/strict';

import { journey } from '../harness/journey.mjs';

journey('a crew starts for the first time and logs its first reading', {}, async ({ screens, restart, step }) => {
    await screens.open();
    await screens.makeJob('Shell 7', 'in', 'Anna');
    await screens.tab('measure');
    await screens.pick('sill mid L', 'hoop foot R');
    await screens.key('42 3/8 in');
    const verdict = await screens.log();
    assert.ok(['first', 'nothing-to-compare'].includes(verdict), `nothing can be said of a first reading, not ${verdict}`);

    step('looking at what was kept');
    const [reading, ...others] = await screens.readings();
    assert.deepEqual(others, []);
    assert.equal(reading.value, '42 3/8 in');
    assert.deepEqual(reading.points, ['sill mid L', 'hoop foot R']);
    assert.equal(reading.by, 'Anna');
    assert.equal(reading.mm_or_deg, 42.375 * 25.4);

    step('starting once more');
    const later = await restart();
    await later.open('measure');
    await later.one('recent-line', '[data-name="r001"]').waitFor();
    assert.match(await later.one('recent-line').textContent(), /sill mid L to hoop foot R/);
});
