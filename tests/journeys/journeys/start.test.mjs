// From a bare shell to its first sheet: the starting list pruned and renamed, the order to read in, a sheet filled in by hand
// and typed in. Whatever the device does between, nothing of it is lost.

import assert from 'node:assert/strict';

import { journey } from '../harness/journey.mjs';

const hardPoint = (screens, at) => screens.all('start-point').nth(at);

journey('a starting list is pruned, the device is put away, and only then are its points added', {}, async ({ device, screens, restart, step }) => {
    await screens.open();
    await screens.makeJob('Shell 7', 'in', 'Anna');
    await screens.go('start?step=points');
    await hardPoint(screens, 0).waitFor();
    const [out, other] = [await hardPoint(screens, 0).getAttribute('data-value'), await hardPoint(screens, 1).getAttribute('data-value')];
    step('leaving the first line out');
    await hardPoint(screens, 0).locator('input[type="checkbox"]').first().uncheck({ force: true });
    step('giving a point of the second another name');
    await screens.touch(hardPoint(screens, 1).locator('button'));
    await hardPoint(screens, 1).locator('input:not([type="checkbox"])').first().fill('front outrigger');
    await screens.settled();

    step('starting once more');
    const later = await restart();
    await later.open('start?step=points');
    await hardPoint(later, 0).waitFor();
    assert.equal(await hardPoint(later, 0).locator('input[type="checkbox"]').first().isChecked(), false);
    assert.match(await hardPoint(later, 1).textContent(), /front outrigger/);
    await later.touch('start-add');
    await later.settled();
    const labels = (await later.job()).points.map(({ label }) => label);
    assert.ok(labels.includes('front outrigger') && labels.length > 20, labels.join());
    assert.ok(!labels.includes(out) && !labels.includes(other), labels.join());

    step('taping four points');
    const { points } = await later.job();
    const byHeight = points.map(({ label, rough }) => ({ label, at: rough.map(Number.parseFloat) })).sort((a, b) => a.at[2] - b.at[2]);
    const four = [...byHeight.slice(0, 3), byHeight.at(-1)];
    const serving = await device.serve();
    const { job } = await serving.ask('device', {});
    for (const [index, one] of four.entries()) {
        for (const other of four.slice(index + 1)) {
            const mm = Math.hypot(...one.at.map((part, axis) => part - other.at[axis]));
            const reading = { kind: 'tape', points: [one.label, other.label], value: `${mm.toFixed(0)} mm` };
            await serving.ask('log-reading', { job, by: 'Anna', reading });
        }
    }

    step('looking at what is in doubt');
    const then = await restart();
    await then.open('doubts');
    const waiting = then.one('doubt', '[data-kind="not-read"]');
    await waiting.waitFor();
    assert.equal(await then.all('doubt', '[data-kind="not-read"]').count(), 1, 'however many points that is');
    assert.match(await waiting.textContent(), new RegExp(`${points.length - 4} points not read yet`));
    step('taking the next of them');
    await then.touch(waiting.locator('[data-testid="doubt-act"]'));
    await then.settled();
    const ends = [await then.endShows(0), await then.endShows(1)];
    assert.equal(ends.filter((end) => four.some(({ label }) => label === end)).length, 1, ends.join(' to '));
});

journey('a sheet that was filled in by hand is typed in, and what is typed outlives the device', {}, async ({ device, screens, restart, step }) => {
    device.trammel('demo');
    await screens.open('start?step=entry');
    await screens.one('quick-value').waitFor();
    const row = (on, number) => on.page.locator(`li[data-value="${number}"]`).filter({ has: on.page.getByTestId('quick-value') });
    const before = (await screens.readings()).length;
    step('typing two rows');
    await row(screens, 1).getByTestId('quick-value').fill('40 5/8');
    await row(screens, 2).getByTestId('quick-value').fill('40 5/');
    await screens.settled();

    step('starting once more');
    const later = await restart();
    await later.open('start?step=entry');
    await later.one('quick-value').waitFor();
    assert.equal(await row(later, 1).getByTestId('quick-value').inputValue(), '40 5/8');
    step('logging what is typed');
    await row(later, 1).getByTestId('quick-value').press('Enter');
    await row(later, 2).getByTestId('quick-value').press('Enter');
    await later.settled();
    const readings = await later.readings();
    assert.equal(readings.length, before + 1);
    assert.equal(readings.at(-1).value, '40 5/8 in');
    assert.match(await row(later, 2).textContent(), /stops after the slash/);
});
