// Photos: taken in, pinned under a loupe, found again, measured from, handed on without where they were taken.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';

import { journey } from '../harness/journey.mjs';
import { badFiles, LEADS_TO_POSITION, OnPhoto, photo, POSITION, unzipped } from '../harness/photos.mjs';

/** Upright, as EXIF orientation 6 says of `shell-turned.jpg`: stored 900 x 675. */
const TURNED = { width: 675, height: 900 };
/** Marks of the drawn shell, by eye. */
const MARKS = [
    ['roof-rear-L', { x: 0.32, y: 0.31 }],
    ['sill-rear-L', { x: 0.08, y: 0.68 }],
    ['roof-rear-R', { x: 0.9, y: 0.3 }],
];

/** A job with the points that are pinned, and one reading. */
function prepared(device) {
    device.trammel('job', 'new', 'Shell 7', '--unit', 'in', '--by', 'Anna');
    device.trammel('read', 'tape', 'roof-rear-L', 'roof-rear-R', '44 1/8 in', '--by', 'Anna');
    device.trammel('read', 'tape', 'sill-rear-L', 'roof-rear-L', '41 in', '--by', 'Anna');
}

async function photosOf(device) {
    const serving = await device.serve();
    const { job } = await serving.ask('device', {});
    return serving.ask('photos', { job });
}

/** Opens the room, takes a photo in and opens it. */
async function takenIn(screens, name, more = '') {
    await screens.open('photos');
    await screens.one('photo-choose').setInputFiles(photo(name));
    await screens.one('photo-tile').waitFor();
    await screens.settled();
    await screens.touch('photo-tile');
    await screens.one('photo-stage', more).locator('img[data-size="large"]').waitFor();
    await screens.settled();
}

const near = (a, b, most, what) => assert.ok(Math.abs(a - b) <= most, `${what}: ${a} is not within ${most} of ${b}`);

journey('a photo is pinned under the loupe, found again from a point, and measured from', {}, async ({ device, screens, restart, size, step }) => {
    prepared(device);
    await takenIn(screens, 'shell-turned');
    step('looking which way up it is');
    const shown = await screens.one('photo-stage').locator('.picture img').evaluate((img) => [img.naturalWidth, img.naturalHeight]);
    assert.deepEqual(shown, [675, 900], 'the picture stands upright');

    const on = new OnPhoto(screens);
    for (const [label, mark] of MARKS) {
        step(`pinning ${label}`);
        await screens.touch('photo-add-pin');
        const middle = await on.pixel({ x: 0.5, y: 0.5 }, TURNED);
        const at = await on.pixel(mark, TURNED);
        await on.pull(middle, at, size.touch, {
            async before() {
                const { cross, middle, larger, glass } = await on.loupe();
                near(cross.x, middle.x, 0.002, 'the loupe shows what is under the cross, across');
                near(cross.y, middle.y, 0.002, 'the loupe shows what is under the cross, down');
                assert.ok(larger >= 2 && larger <= 3, `the loupe makes it ${larger} times larger`);
                const isCovered = at.x > glass.left && at.x < glass.right && at.y > glass.top && at.y < glass.bottom;
                assert.ok(!isCovered, 'the finger does not lie on the loupe');
            },
        });
        await on.name(label);
        const [{ pins }] = await photosOf(device);
        const pin = pins.find(({ point }) => point === label);
        // A pixel of the glass, as a fraction of the picture.
        near(pin.x, mark.x, 1.5 / (TURNED.width * at.fits), `${label} across`);
        near(pin.y, mark.y, 1.5 / (TURNED.height * at.fits), `${label} down`);
    }

    step('writing under it');
    await screens.one('photo-caption').fill('Rear hoop from the left');
    await screens.touch('photo-caption-keep');
    await screens.settled();

    step('closing all, and finding it again from one of the points');
    const later = await restart();
    await later.open('points?point=sill-rear-L');
    const tile = later.one('photo-strip').getByRole('link');
    assert.match(await tile.textContent(), /Rear hoop from the left, 3 pins/);
    await later.touch(tile);
    const pinOf = (label) => later.one('photo-pin', `[data-label="${label}"]`);
    await pinOf('sill-rear-L').waitFor();
    assert.equal(await pinOf('sill-rear-L').getAttribute('aria-pressed'), 'true', 'the point that was asked for is picked');
    const lines = later.one('photo-stage').locator('.lines .line');
    assert.equal(await lines.count(), 2, 'both readings are drawn between their pins');

    step('beginning a reading between two pins');
    await later.touch(pinOf('roof-rear-R'));
    assert.match(await later.words(), /Not read yet\./);
    await later.touch('photo-measure');
    await later.settled();
    assert.equal(await later.endShows(0), 'sill-rear-L');
    assert.equal(await later.endShows(1), 'roof-rear-R');
});

journey('a finger that lies still begins a pin where it lies, and two fingers bring the photo nearer', { at: ['phone', 'tablet'] }, async ({ device, screens, page, step }) => {
    prepared(device);
    await takenIn(screens, 'shell-turned');
    const on = new OnPhoto(screens);
    const middle = await on.pixel({ x: 0.5, y: 0.5 }, TURNED);
    step('spreading two fingers');
    const width = () => screens.one('photo-stage').locator('.picture').evaluate((element) => element.getBoundingClientRect().width);
    const whole = await width();
    await on.spread(middle, 60, 180);
    near((await width()) / whole, 3, 0.1, 'three times as far apart, three times as near');

    step('turning the device');
    const upright = page.viewportSize();
    const seen = await on.middle();
    await page.setViewportSize({ width: upright.height, height: upright.width });
    await screens.settled();
    // Across, a low and wide glass shows all of a tall photo.
    near((await on.middle()).y, seen.y, 0.01, 'the same height of the photo stays in the middle');
    await page.setViewportSize(upright);
    await screens.settled();
    const back = await on.middle();
    near(back.x, seen.x, 0.001, 'the same place is in the middle, across');
    near(back.y, seen.y, 0.001, 'the same place is in the middle, down');
    await on.spread(middle, 180, 20);
    near((await width()) / whole, 1, 0.001, 'no farther than the whole photo');

    step('holding a finger still, then dragging it');
    const [, mark] = MARKS[0];
    const at = await on.pixel(mark, TURNED);
    await on.pull(middle, at, true, { still: 700 });
    const { cross } = await on.loupe();
    near(cross.x, mark.x, 1.5 / (TURNED.width * at.fits), 'across');
    near(cross.y, mark.y, 1.5 / (TURNED.height * at.fits), 'down');
    await on.name('roof-rear-L');
    assert.equal((await photosOf(device))[0].pins.length, 1);
});

journey('a pin is set, moved, taken off and brought back by the keyboard alone', { at: ['desktop'] }, async ({ device, screens, page, step }) => {
    prepared(device);
    await takenIn(screens, 'shell-lying');
    const isFocused = (id) => page.evaluate((id) => document.activeElement?.dataset.testid === id, id);
    const tabTo = async (id) => {
        for (let turn = 0; turn < 80; turn += 1) {
            if (await isFocused(id)) return;
            await page.keyboard.press('Tab');
        }
        throw new Error(`the keyboard does not come to ${id}`);
    };
    const pins = async () => (await photosOf(device))[0].pins;
    const width = await screens.one('photo-stage').locator('.picture').evaluate((element) => element.getBoundingClientRect().width);

    step('setting it');
    await tabTo('photo-stage');
    await page.keyboard.press('p');
    for (let turn = 0; turn < 3; turn += 1) await page.keyboard.press('Shift+ArrowLeft');
    for (let turn = 0; turn < 4; turn += 1) await page.keyboard.press('ArrowUp');
    await page.keyboard.press('Enter');
    await tabTo('point-search');
    await page.keyboard.type('sill-rear-L');
    await tabTo('point-choice');
    await page.keyboard.press('Enter');
    await screens.one('photo-pin').waitFor();
    await screens.settled();
    const [set] = await pins();
    assert.equal(set.point, 'sill-rear-L');
    near(set.x, 0.5 - 30 / width, 1e-6, '30 px to the left');
    near(set.y, 0.5 - 4 / (width * 0.75), 1e-6, '4 px up');

    step('moving it');
    await tabTo('photo-pin');
    await page.keyboard.press('Enter');
    await tabTo('photo-pin-move');
    await page.keyboard.press('Enter');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('Enter');
    await screens.settled();
    const [moved] = await pins();
    near(moved.x, set.x + 1 / width, 1e-6, 'a px to the right');
    near(moved.y, set.y, 1e-9, 'no px down');

    step('taking it off, and back');
    await tabTo('photo-pin-remove');
    await page.keyboard.press('Enter');
    await screens.settled();
    assert.deepEqual(await pins(), []);
    await tabTo('notice-act');
    await page.keyboard.press('Enter');
    await screens.settled();
    assert.equal((await pins())[0]?.id, moved.id);
});

journey('the ends of a reading are picked on photos, the one that shows the other end first', { at: ['phone', 'desktop'] }, async ({ device, screens, step }) => {
    prepared(device);
    for (const name of ['shell-turned', 'shell-lying']) device.trammel('photo', 'add', photo(name));
    const listed = JSON.parse(device.trammel('photo', 'list', '--json'));
    const idOf = (name) => listed.find(({ file }) => file === `${name}.jpg`).id;
    for (const [label, { x, y }] of MARKS) device.trammel('photo', 'pin', idOf('shell-turned'), label, String(x), String(y));
    device.trammel('photo', 'pin', idOf('shell-lying'), 'roof-rear-R', '0.8', '0.3');
    const onTop = () => screens.all('photo-tile').evaluateAll((tiles) => tiles.find((tile) => tile.ariaPressed === 'true').dataset.photo);
    const byPhoto = async () => {
        await screens.choose('pick-way', 'photo');
        await screens.one('photo-pin').waitFor();
        await screens.settled();
    };

    await screens.open('measure');
    step('picking the first end');
    await screens.touch('from');
    await byPhoto();
    assert.equal(await onTop(), idOf('shell-lying'), 'the newest first');
    await screens.touch(screens.one('photo-tile', `[data-photo="${idOf('shell-turned')}"]`));
    await screens.touch(screens.one('photo-pin', '[data-label="sill-rear-L"]'));
    assert.equal(await screens.endShows(0), 'sill-rear-L');

    step('leaving it, and picking the second end');
    await screens.touch('panel-close');
    await screens.touch('to');
    await byPhoto();
    assert.equal(await onTop(), idOf('shell-turned'), 'the one that shows the first end, though it is older');
    await screens.touch(screens.one('photo-pin', '[data-label="roof-rear-R"]'));
    await screens.one('panel').waitFor({ state: 'detached' });
    assert.equal(await screens.endShows(1), 'roof-rear-R');
});

journey('a place that is no point yet is left with a note, and tied to a point later', { at: ['phone'] }, async ({ device, screens, step }) => {
    prepared(device);
    await takenIn(screens, 'shell-lying');
    const pins = async () => (await photosOf(device))[0].pins;
    step('leaving it with a note');
    await screens.touch('photo-add-pin');
    await screens.touch('photo-set-pin');
    await screens.one('photo-pin-note').fill('rust hole');
    await screens.touch('photo-pin-leave');
    await screens.touch(screens.one('photo-pin', '[data-label="rust hole"]'));
    await screens.settled();
    const [left] = await pins();
    assert.deepEqual([left.point, left.note], ['', 'rust hole']);
    assert.equal(await screens.all('photo-measure').count(), 0, 'what is no point cannot be measured from');

    step('tying it');
    await screens.touch('photo-pin-tie');
    await screens.touch(screens.one('point-choice', '[data-label="sill-rear-L"]'));
    await screens.one('photo-pin', '[data-label="sill-rear-L"]').waitFor();
    await screens.settled();
    const [tied] = await pins();
    assert.deepEqual([tied.id, tied.point, tied.x, tied.y], [left.id, 'sill-rear-L', left.x, left.y]);
});

journey('what was typed of a photo is kept, and a photo that is removed can be brought back', { at: ['phone'] }, async ({ device, screens, step }) => {
    prepared(device);
    await takenIn(screens, 'shell-lying');
    step('leaving a caption without keeping it');
    await screens.one('photo-caption').fill('Left sill, inside');
    await screens.tab('points');
    await screens.settled();
    assert.equal((await photosOf(device))[0].caption, 'Left sill, inside');

    step('saying what it is of');
    await screens.go('photos');
    await screens.touch('photo-tile');
    await screens.touch('photo-about');
    await screens.touch(screens.one('photo-about-choice', '[data-value="sill-rear-L"]'));
    await screens.settled();
    assert.equal((await photosOf(device))[0].point, 'sill-rear-L');

    step('removing it');
    await screens.touch('photo-drop');
    await screens.settled();
    assert.equal((await photosOf(device))[0].removed, true);
    await screens.go('photos');
    assert.equal(await screens.all('photo-tile').count(), 0);

    step('bringing it back');
    await screens.touch(screens.one('filter', '[data-value="removed"]').locator('xpath=ancestor::label'));
    await screens.touch('photo-tile');
    await screens.touch('photo-bring-back');
    await screens.settled();
    const [back] = await photosOf(device);
    assert.equal(back.removed, false);
    assert.equal(back.caption, 'Left sill, inside');
});

journey('a file that is no photo to be taken is told in words, and nothing is changed', { at: ['phone', 'desktop'] }, async ({ device, screens, step }) => {
    prepared(device);
    await screens.open('photos');
    const serving = await device.serve();
    const { job } = await serving.ask('device', {});
    const before = await serving.ask('history', { job, most: 100 });
    const bad = badFiles(device.folder);
    for (const { name, path, says } of bad) {
        step(`choosing ${name}`);
        await screens.one('photo-choose').setInputFiles(path);
        const told = screens.one('photo-refused');
        await told.waitFor();
        assert.match((await told.textContent()).replace(/\s+/g, ' '), says);
        await screens.touch(told.getByRole('button').last());
        await told.waitFor({ state: 'detached' });
    }
    assert.deepEqual(await photosOf(device), []);
    assert.deepEqual(await serving.ask('history', { job, most: 100 }), before);

    step('choosing a good one between bad ones');
    await screens.one('photo-choose').setInputFiles([bad[0].path, photo('shell-lying'), bad[1].path]);
    await screens.one('photo-tile').waitFor();
    await screens.all('photo-refused').nth(1).waitFor();
    assert.equal((await photosOf(device)).length, 1);
});

journey('a photo that takes a while is shown at once and told, and the same one is not added twice', { at: ['phone'] }, async ({ device, screens, page, step }) => {
    prepared(device);
    await screens.open('photos');
    let letGo = () => {};
    const held = new Promise((done) => (letGo = done));
    await page.route('**/desk/add-photo', async (route) => {
        await held;
        await route.continue();
    });
    step('choosing it');
    await screens.one('photo-choose').setInputFiles(photo('shell-turned'));
    await screens.page.getByRole('img', { name: 'shell-turned.jpg, being taken in' }).waitFor();
    await screens.page.getByText('Taking in shell-turned.jpg').waitFor();
    assert.equal(await screens.all('photo-tile').count(), 0);
    letGo();
    await screens.one('photo-tile').locator('img').waitFor();
    assert.doesNotMatch(await screens.words(), /Taking in/);

    step('choosing it once more');
    await screens.one('photo-choose').setInputFiles(photo('shell-turned'));
    await screens.one('notice').waitFor();
    assert.match(await screens.one('notice').textContent(), /shell-turned\.jpg was here already/);
    assert.equal((await photosOf(device)).length, 1);
});

journey('a picture that is on another device is told, and is no broken image', { at: ['tablet'] }, async ({ device, screens, page, step }) => {
    prepared(device);
    device.trammel('photo', 'add', photo('shell-lying'), '--caption', 'Left sill', '--by', 'Book');
    // The list of the photos as it is where their pictures have not come yet.
    await page.route('**/desk/photos', async (route) => {
        const response = await route.fetch();
        const packed = await response.body();
        const { answer, ...rest } = JSON.parse(packed.subarray(4, 4 + packed.readUInt32LE(0)).toString());
        const json = Buffer.from(JSON.stringify({ ...rest, answer: answer.map((line) => ({ ...line, here: false })) }));
        const length = Buffer.alloc(4);
        length.writeUInt32LE(json.length);
        await route.fulfill({ response, body: Buffer.concat([length, json]) });
    });
    await screens.open('photos');
    step('looking at the list');
    assert.match(await screens.one('photo-tile').textContent(), /Not on this device\.\s*Left sill/);
    step('opening it');
    await screens.touch('photo-tile');
    await page.getByText('Book added it, and the picture is on the device that Book held. Take in a job file from there.').waitFor();
    assert.equal(await page.locator('main img').count(), 0);
});

journey('what leaves does not say where a photo was taken', { at: ['tablet'] }, async ({ device, screens, page, step }) => {
    const original = readFileSync(photo('shell-turned'));
    assert.ok(original.includes(POSITION) && original.includes(LEADS_TO_POSITION), 'the photo itself says where it was taken');
    prepared(device);
    await takenIn(screens, 'shell-turned');

    step('saving a copy');
    const [saved] = await Promise.all([page.waitForEvent('download'), screens.touch('photo-copy')]);
    assert.equal(saved.suggestedFilename(), 'shell-turned.jpg');
    const copy = readFileSync(await saved.path());
    assert.ok(!copy.includes(POSITION) && !copy.includes(LEADS_TO_POSITION), 'the copy says where it was taken');
    assert.ok(copy.length > 0.9 * original.length, 'the picture itself is in it');

    step('writing the job file');
    const out = join(device.folder, 'out.zip');
    device.trammel('job', 'export', '--out', out);
    const files = unzipped(readFileSync(out));
    const photos = [...files].filter(([, bytes]) => bytes.subarray(0, 2).equals(Buffer.from([0xff, 0xd8])));
    assert.equal(photos.length, 1, `one photo is in it: ${[...files.keys()].join(', ')}`);
    for (const [name, bytes] of files) assert.ok(!bytes.includes(POSITION), `${name} says where the photo was taken`);
    assert.ok(!photos[0][1].includes(LEADS_TO_POSITION));
});
