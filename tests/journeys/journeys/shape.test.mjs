// The shell, drawn: it shows what the desk worked out, the worst point is a touch away and so is the reading that would help, and
// it can be used by keyboard alone and where nothing can be drawn in space.

import assert from 'node:assert/strict';
import { join } from 'node:path';

import { journey } from '../harness/journey.mjs';
import { EPOCHS } from '../harness/places.mjs';
import { ellipses, pricks, similarity, touchPoint } from '../harness/shape.mjs';

/** What of a place is to the right and what is downwards in each flat view; signs and axes of the frame. */
const VIEWS = {
    plan: { right: [1, 0], down: [-1, 1] },
    side: { right: [1, 0], down: [-1, 2] },
    end: { right: [-1, 1], down: [-1, 2] },
};
/** Chi-square at 0.95 with three degrees of freedom (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4). */
const CHI_SQUARE_95 = 7.815;
const NEAR_PX = 0.5;

journey('the flat views show the points and ellipsoids that the desk has', {}, async ({ device, screens, page, step }) => {
    device.trammel('demo');
    await screens.open('shape?view=plan');
    const solved = await screens.solved();
    const fixed = new Map(solved.points.filter(({ status }) => status === 'fixed').map((point) => [point.label, point]));
    for (const [view, { right, down }] of Object.entries(VIEWS)) {
        step(`looking at ${view}`);
        await screens.go(`shape?view=${view}`);
        await page.locator(`[data-view="${view}"] circle.prick`).first().waitFor();
        const marks = (await pricks(page)).filter(({ label }) => fixed.has(label));
        assert.equal(marks.length, fixed.size);
        const place = ({ x_mm, y_mm, z_mm }) => [x_mm, y_mm, z_mm];
        const flat = ([sign, axis], vector) => sign * vector[axis];
        const { scale, turn, off } = similarity(
            marks.map(({ label, x, y }) => {
                const at = place(fixed.get(label));
                return { from: [flat(right, at), flat(down, at)], to: [x, y] };
            }),
        );
        assert.ok(off < NEAR_PX, `a mark of ${view} is ${off} px off`);
        assert.ok(Math.abs(turn) < 1e-4, `${view} is turned by ${turn}`);

        const told = /(\d+) times size/.exec(await screens.words());
        const px = scale * Number(told?.[1] ?? 1) * Math.sqrt(CHI_SQUARE_95);
        const drawn = await ellipses(page);
        assert.ok(drawn.length > 30, `${drawn.length} ellipses`);
        for (const { label, long, short, angle } of drawn) {
            const covariance = fixed.get(label).covariance_mm2;
            const part = (one, other) => one[0] * other[0] * covariance[one[1]][other[1]];
            const [xx, xy, yy] = [part(right, right), part(right, down), part(down, down)];
            const [mean, apart] = [(xx + yy) / 2, Math.hypot((xx - yy) / 2, xy)];
            assert.ok(Math.abs(long - px * Math.sqrt(mean + apart)) < NEAR_PX, `${label}: ${long} px long`);
            assert.ok(Math.abs(short - px * Math.sqrt(Math.max(0, mean - apart))) < NEAR_PX, `${label}: ${short} px wide`);
            // Where it is nearly round, no direction is longer.
            if (long - short < 1) continue;
            const wanted = (Math.atan2(2 * xy, xx - yy) * 90) / Math.PI;
            const turned = Math.abs(((angle - wanted + 270) % 180) - 90);
            assert.ok(turned < 2, `${label} is turned by ${angle}, not ${wanted}`);
        }
    }
});

journey('a view turns into another and comes to rest where it is without motion', { at: ['tablet'] }, async ({ device, screens, page, step }) => {
    device.trammel('demo');
    const press = (key) => screens.one('shape-drawing').press(key);
    const marks = async (view) => {
        await page.locator(`[data-view="${view}"] circle.prick`).first().waitFor();
        return pricks(page);
    };
    await screens.open('shape?view=plan');
    await marks('plan');
    await press('3');
    const still = await marks('side');
    await press('2');
    await marks('plan');

    step('letting it turn');
    await page.emulateMedia({ reducedMotion: 'no-preference' });
    // The first mark, each time that it is drawn elsewhere.
    await page.evaluate(() => {
        window.passed = new Set();
        const look = () => {
            const mark = document.querySelector('[data-view="side"] circle.prick');
            if (mark) window.passed.add(`${mark.getAttribute('cx')} ${mark.getAttribute('cy')}`);
            requestAnimationFrame(look);
        };
        look();
    });
    await press('3');
    const there = `${still[0].x} ${still[0].y}`;
    await page.waitForFunction((there) => [...window.passed].at(-1) === there, there);
    assert.deepEqual(await pricks(page), still);
    assert.ok((await page.evaluate(() => window.passed.size)) > 1, 'it was there at once');
});

journey('the worst point is a touch away, and so is the reading that would help', {}, async ({ device, screens, step }) => {
    device.trammel('demo');
    await screens.open('measure');
    await screens.tab('shape');
    const serving = await device.serve();
    const { job } = await serving.ask('device', {});
    const { worst } = await serving.ask('shape', { job });
    const { next } = await serving.ask('doubts', { job });
    await screens.one('shape-worst').getByText(worst).waitFor();
    await screens.touch('shape-worst');

    step('seeing why');
    const wanted = next.find(({ point }) => point === worst) ?? next.find(({ a, b }) => a === worst || b === worst);
    assert.ok(wanted, 'nothing would help the worst point');
    await screens.one('shape-read').waitFor();
    assert.match(await screens.words(), new RegExp(`${wanted.a} to ${wanted.b}`));

    step('starting the reading that would help');
    await screens.touch('shape-read');
    await screens.settled();
    assert.deepEqual([await screens.endShows(0), await screens.endShows(1)], [wanted.a, wanted.b]);
});

journey('a suspect is called out, opened and read again', {}, async ({ device, screens, page, step }) => {
    device.trammel('demo');
    await screens.open('shape');
    await screens.one('callout').waitFor();
    const serving = await device.serve();
    const { job } = await serving.ask('device', {});
    const { doubts } = await serving.ask('doubts', { job });
    assert.equal(doubts[0].kind, 'suspect');
    await screens.touch(screens.one('callout', '[data-key="0"]'));
    step('reading it again');
    await page.waitForURL(new RegExp(`reading=${doubts[0].readings[0]}`));
    await screens.touch('shape-again');
    await screens.settled();
    const [line] = (await screens.readings()).filter(({ name }) => name === doubts[0].readings[0]);
    assert.deepEqual([await screens.endShows(0), await screens.endShows(1)], line.points);
});

journey('from one point to another it tells how far, and leads to measuring it', {}, async ({ device, screens, page, step }) => {
    device.trammel('demo');
    await screens.open('shape?view=plan');
    await page.locator('circle.prick').first().waitFor();
    await touchPoint(screens, 'tail');
    step('asking for the distance');
    await screens.touch('shape-distance');
    await touchPoint(screens, 'roof-front');
    await page.waitForURL(/to=roof-front/);
    const solved = await screens.solved();
    const at = (wanted) => solved.points.find(({ label }) => label === wanted);
    const [a, b] = [at('tail'), at('roof-front')];
    const mm = Math.hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm, a.z_mm - b.z_mm);
    // To a sixteenth, as the page writes it.
    const sixteenths = Math.round((mm / 25.4) * 16);
    await page.getByText(new RegExp(`^${Math.floor(sixteenths / 16)} `)).first().waitFor();
    step('measuring it');
    await screens.touch('shape-measure');
    await screens.settled();
    assert.deepEqual([await screens.endShows(0), await screens.endShows(1)], ['tail', 'roof-front']);
});

journey('two epochs are laid over each other, and what moved is told, the surest first', {}, async ({ device, screens, page, step }) => {
    device.trammel('demo');
    device.trammel('job', 'import', join(EPOCHS, 'after-welding.csv'), '--job', 'demo');
    await screens.open('shape?view=plan');
    await screens.touch('shape-compare');
    step('comparing');
    await screens.one('shape-moved').waitFor();
    const serving = await device.serve();
    const { job } = await serving.ask('device', {});
    const compared = await serving.ask('compare-epochs', { job, before: '', after: 'after welding' });
    const surest = compared.points.filter(({ moved }) => moved).sort((a, b) => b.chi_square - a.chi_square);
    assert.ok(surest.length > 0);
    const listed = await screens.all('shape-moved').evaluateAll((rows) => rows.map((row) => row.dataset.value));
    assert.deepEqual(listed.slice(0, surest.length), surest.map(({ label }) => label));
    const words = await screens.words();
    assert.match(words, new RegExp(`${surest.length} points? moved`));
    assert.match(words, /not seen to move/);
    assert.doesNotMatch(words, /unchanged|did not move|has not moved/i);

    step('looking at the arrows');
    assert.match(words, /Arrows are drawn \d+ times size/);
    assert.equal(await page.locator('path[data-style="before"]').count(), 1);
    assert.equal(await page.locator('path[data-style="moved"]').count(), surest.length);

    step('looking at one that moved');
    await screens.touch(screens.one('shape-moved', `[data-value="${surest[0].label}"]`));
    await page.locator(`circle.prick[data-label="${surest[0].label}"][data-style="picked"]`).waitFor();
});

journey('both ends of a reading are picked on the shape', {}, async ({ device, screens, page, step }) => {
    device.trammel('demo');
    await screens.emptyPad();
    await screens.open('measure');
    await screens.touch('from');
    await screens.choose('pick-way', 'shape');
    step('looking from above');
    await screens.choose('shape-view', 'plan');
    await page.locator('circle.prick').first().waitFor();
    await touchPoint(screens, 'tail');
    await page.locator('circle.prick[data-label="tail"][data-style="picked"]').waitFor();
    await touchPoint(screens, 'roof-front');
    await screens.one('panel').waitFor({ state: 'detached' });
    assert.deepEqual([await screens.endShows(0), await screens.endShows(1)], ['tail', 'roof-front']);
});

journey('what is left out is told on the drawing and brought back by one touch', {}, async ({ device, screens, page, step }) => {
    device.trammel('demo');
    await screens.open('shape?view=plan');
    await page.locator('path[data-style="faint"]').first().waitFor();
    await screens.touch('shape-show');
    await screens.one('filter-state').selectOption('suspect');
    await screens.touch('panel-close');
    step('reading what is told');
    await page.getByText('Only readings that are: suspect').waitFor();
    assert.equal(await page.locator('path[data-style="faint"]').count(), 0);
    assert.ok((await page.locator('path[data-style="suspect"]').count()) > 0);
    await screens.touch('shape-all');
    await page.locator('path[data-style="faint"]').first().waitFor();
});

journey('the shape is used by the keyboard alone', { at: ['desktop'] }, async ({ device, screens, page, step }) => {
    device.trammel('demo');
    await screens.open('shape');
    await screens.all('shape-space', '[data-drawn="true"]').waitFor();
    const focused = () => page.evaluate(() => document.activeElement?.dataset.testid ?? '');
    const tabTo = async (id) => {
        for (let press = 0; press < 60 && (await focused()) !== id; press += 1) await page.keyboard.press('Tab');
        assert.equal(await focused(), id);
    };
    await tabTo('shape-drawing');
    // Call-outs go along with what they speak of.
    const where = () => screens.all('callout').evaluateAll((boxes) => boxes.map((box) => box.style.transform).join());
    await screens.settled();
    const before = await where();
    step('turning it');
    for (let press = 0; press < 4; press += 1) await page.keyboard.press('ArrowRight');
    assert.notEqual(await where(), before);
    step('seeing the whole again');
    await page.keyboard.press('Home');
    assert.equal(await where(), before);
    step('going to the plan');
    await page.keyboard.press('2');
    await page.locator('[data-view="plan"] circle.prick').first().waitFor();
    step('picking a point from the list');
    await tabTo('shape-find');
    await page.keyboard.press('Enter');
    await tabTo('point-search');
    await page.keyboard.type('roof-front');
    await tabTo('point-choice');
    await page.keyboard.press('Enter');
    await page.locator('circle.prick[data-label="roof-front"][data-style="picked"]').waitFor();
    step('putting it away');
    await tabTo('shape-drawing');
    await page.keyboard.press('Escape');
    await page.locator('circle.prick[data-label="roof-front"][data-style="fixed"]').waitFor();
});

journey('a device that cannot draw in space says so and shows the plan', {}, async ({ device, screens, page, step }) => {
    device.trammel('demo');
    await page.addInitScript(() => {
        const before = HTMLCanvasElement.prototype.getContext;
        HTMLCanvasElement.prototype.getContext = function (kind, ...how) {
            return kind.startsWith('webgl') ? null : before.call(this, kind, ...how);
        };
    });
    await screens.open('shape');
    await page.getByText('cannot draw the view that turns').waitFor();
    await page.locator('[data-view="plan"] circle.prick').first().waitFor();
    step('asking for it all the same');
    await screens.touch(screens.one('shape-view', '[data-value="space"]').locator('xpath=ancestor::label'));
    await page.locator('[data-view="plan"] circle.prick').first().waitFor();
    step('picking a point');
    await touchPoint(screens, 'tail');
    await screens.one('shape-distance').waitFor();
});

journey('a drawing in space that is lost falls back to the plan', { at: ['tablet'] }, async ({ device, screens, page }) => {
    device.trammel('demo');
    await screens.open('shape');
    await screens.all('shape-space', '[data-drawn="true"]').waitFor();
    await screens.one('shape-space').evaluate((canvas) => canvas.getContext('webgl2').getExtension('WEBGL_lose_context').loseContext());
    await page.getByText('cannot draw the view that turns').waitFor();
    await page.locator('[data-view="plan"] circle.prick').first().waitFor();
});

journey('the tablet is turned and the drawing stays whole', { at: ['tablet'] }, async ({ device, screens, page, size, step }) => {
    device.trammel('demo');
    await screens.open('shape?view=plan&point=tail');
    await page.locator('circle.prick').first().waitFor();
    step('turning the tablet');
    await page.setViewportSize({ width: size.height, height: size.width });
    await screens.settled();
    const box = await screens.one('shape-drawing').boundingBox();
    const marks = await pricks(page);
    assert.ok(marks.length > 40);
    for (const { label, x, y } of marks) assert.ok(x > 0 && y > 0 && x < box.width && y < box.height, `${label} is outside`);
    await page.locator('circle.prick[data-label="tail"][data-style="picked"]').waitFor();
});

journey('names never lie over each other while the drawing is moved and enlarged', { at: ['tablet', 'phone'] }, async ({ device, screens, page, step }) => {
    device.trammel('demo');
    await screens.open('shape?view=side');
    await screens.one('shape-label').waitFor();
    await screens.one('shape-drawing').focus();
    for (let turn = 0; turn < 12; turn += 1) {
        step(`turn ${turn}`);
        await page.keyboard.press(['+', 'ArrowRight', 'ArrowUp', '+', 'ArrowLeft', '-'][turn % 6]);
        await screens.settled();
        const meets = await page.evaluate(() => {
            const seen = [...document.querySelectorAll('[data-testid="shape-label"], [data-testid="callout"]')].filter((one) => one.checkVisibility({ visibilityProperty: true }));
            const boxes = seen.map((one) => ({ said: one.textContent, box: (one.querySelector('.box') ?? one).getBoundingClientRect() })).filter(({ box }) => box.bottom > 0);
            return boxes.flatMap(({ said, box: a }, index) =>
                boxes.slice(index + 1).filter(({ box: b }) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom).map((other) => `${said} and ${other.said}`),
            );
        });
        assert.deepEqual(meets, []);
    }
});
