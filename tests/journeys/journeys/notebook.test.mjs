// A whole notebook, keyed on the pad, gives the same coordinates as its sheet.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

import { journey } from '../harness/journey.mjs';
import { rows, sheet } from '../harness/surveys.mjs';

/** The stands of the notebook, the tapes that need none first. */
const STANDS = ['', 'first', 'second'];

/** How far two solutions of the same readings may differ, in mm. */
const SAME_MM = 1e-6;

journey('a notebook keyed on the pad gives the coordinates of its sheet', { at: ['tablet'], within: 1_200_000 }, async (way) => {
    const { device, screens, step } = way;
    const sheets = ['--points', sheet('notebook', 'points'), '--instruments', sheet('notebook', 'instruments')];
    device.trammel('job', 'new', 'Notebook', '--unit', 'in', '--by', 'Book');
    device.trammel('job', 'import', ...sheets);
    await screens.open('measure');

    let stand = '';
    // One stand after the other, as the shell stood.
    const inOrder = rows('notebook').toSorted((one, other) => STANDS.indexOf(one.stand) - STANDS.indexOf(other.stand));
    for (const row of inOrder) {
        if (row.stand && row.stand !== stand) {
            stand = row.stand;
            await beginStand(screens, stand);
        }
        step(`typing ${row.id}`);
        await screens.pickKind(row.kind);
        await screens.hold(row);
        await screens.pick(...[row.a, row.b, row.c, row.d].filter(Boolean));
        await screens.key(row.value);
        await screens.log();
        sameAsRow((await screens.readings()).at(-1), row);
        if (await screens.one('answer-next').isVisible()) await screens.touch('answer-next');
    }

    step('comparing');
    const typed = await screens.readings();
    assert.equal(typed.length, inOrder.length);
    const solved = await screens.solved();
    const file = join(device.folder, 'sheet.json');
    device.trammel('adjust', sheet('notebook', 'readings'), ...sheets, '--json', file);
    const fromSheet = JSON.parse(readFileSync(file, 'utf8'));
    assert.deepEqual(solved.frame, fromSheet.frame);
    assert.equal(solved.points.length, fromSheet.points.length);
    const places = new Map(fromSheet.points.map((point) => [point.label, point]));
    for (const point of solved.points) {
        for (const axis of ['x_mm', 'y_mm', 'z_mm']) {
            const apart = Math.abs(point[axis] - places.get(point.label)[axis]);
            assert.ok(apart <= SAME_MM, `${point.label} ${axis}: ${apart} mm apart`);
        }
    }
});

/** Holds a reading as it was logged against its row of the sheet. */
function sameAsRow(reading, row) {
    const { kind, points, instrument, from, add } = reading;
    assert.deepEqual(
        { kind, points, instrument, from: from === 'hook' ? '' : from, add, value: bare(reading.value) },
        {
            kind: row.kind,
            points: [row.a, row.b, row.c, row.d].filter(Boolean),
            instrument: row.instrument,
            from: row.from,
            add: row.add,
            value: bare(row.value),
        },
    );
    if (row.stand) assert.equal(reading.stand, row.stand);
}

/** A value apart from how it is written: `2' 1 1/2"` and `2 ft 1 1/2 in` are the same. */
function bare(text) {
    const [, minus, rest] = /^(-?)(.*)$/.exec(text.replace('ft', "'").replace(/ ?(in|")$/, ''));
    return minus + rest.replace(/[ -]+/g, ' ').replace("' ", "'").trim();
}

async function beginStand(screens, stand) {
    const serving = await screens.device.serve();
    const { id } = await screens.job();
    await serving.ask('act', { job: id, act: { do: 'add', what: 'stand', name: stand } });
    await screens.page.reload();
    await screens.page.locator('[data-ready]').waitFor();
}
