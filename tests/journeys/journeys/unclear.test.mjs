// A group of readings of which one is off, and nobody can tell which.

import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';

import { journey } from '../harness/journey.mjs';
import { sheet, unclearSurvey } from '../harness/surveys.mjs';

journey('an unclear group is settled by a new reading', {}, async ({ device, screens, step }) => {
    const survey = unclearSurvey();
    const readings = join(device.folder, 'readings.csv');
    writeFileSync(readings, survey.readings);
    device.trammel('job', 'new', 'Shell 8', '--unit', 'mm', '--by', 'Book');
    device.trammel('job', 'import', '--readings', readings, '--points', sheet('plain', 'points'));

    await screens.open('doubts');
    const unclear = screens.one('doubt', '[data-kind="unclear"]');
    await unclear.waitFor();
    assert.match(await unclear.textContent(), /is off/);

    // Nobody knows which it is: they are read again one after the other until it is settled.
    for (let turn = 0; turn < 4 && (await unclear.isVisible()); turn += 1) {
        step('taking up the reading that is asked for');
        const act = unclear.locator('[data-testid="doubt-act"]').first();
        await screens.touch(act);
        await screens.one('log').waitFor();
        const ends = [await screens.endShows(0), await screens.endShows(1)];
        await screens.key(survey.truth(...ends));
        await screens.log();
        await screens.settled();
        await screens.tab('doubts');
    }
    assert.equal(await unclear.count(), 0);

    step('looking at what became of the slip');
    const burned = (await screens.readings()).find((reading) => reading.name === survey.burned);
    assert.equal(burned.state, 'set aside');
});
