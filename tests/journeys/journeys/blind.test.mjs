// A second, blind reading by the other person.

import assert from 'node:assert/strict';

import { journey } from '../harness/journey.mjs';

/** What a first value looks like on a page, in either unit. */
const TRACES = ['57', '11/16', '11 sixteenths', '1465', '1 465', '1,465'];

journey('a blind second reading shows nothing of the first until it is logged', {}, async ({ device, screens, page, step }) => {
    device.trammel('job', 'new', 'Shell 9', '--unit', 'in', '--by', 'Anna');
    device.trammel('job', 'add', 'person', 'Ben');
    device.trammel('read', 'tape', 'sill mid L', 'hoop foot R', '57 11/16 in', '--by', 'Anna');
    await screens.open('measure');
    assert.ok((await traces(page)).length > 0, 'before, the first value stands on the page');

    step('handing the tape to Ben');
    await screens.touch(screens.one('recent-line'));
    await screens.touch('recent-blind');
    await screens.touch(screens.one('panel').getByRole('button', { name: 'Ben' }));
    await screens.settled();
    assert.deepEqual(await traces(page), []);

    await screens.key('42 3/8 in');
    assert.deepEqual(await traces(page), []);

    await screens.log();
    await screens.settled();
    const [first, second] = await screens.readings();
    assert.equal(second.by, 'Ben');
    assert.equal(second.value, '42 3/8 in');
    assert.deepEqual(second.points, first.points);
    assert.ok((await traces(page)).length > 0, 'now both can be looked at');
});

/** Where a trace of the first value is, in a text or in what a screen reader or a script could take off the page. */
function traces(page) {
    return page.evaluate((traces) => {
        const found = [];
        for (const element of document.querySelectorAll('body, body *')) {
            if (element.matches('script, style')) continue;
            const own = [...element.childNodes].filter((node) => node.nodeType === Node.TEXT_NODE).map((node) => node.data);
            const said = [...element.attributes]
                .filter(({ name }) => /^(aria-.*|title|alt|placeholder|value|data-.*)$/.test(name))
                .map(({ value }) => value);
            const typed = 'value' in element && typeof element.value === 'string' ? [element.value] : [];
            for (const text of [...own, ...said, ...typed]) {
                const trace = traces.find((trace) => text.includes(trace));
                if (trace) found.push(`${trace} in "${text.trim()}"`);
            }
        }
        return found;
    }, TRACES);
}
