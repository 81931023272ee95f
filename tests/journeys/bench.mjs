// How long a person waits, and how much of the device it takes. Prints figures; nothing fails by being slow.

import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

import { display } from '../window/harness/display.mjs';
import { memoryOf, Window } from '../window/harness/window.mjs';
import { browser, freshPage, SIZES } from './harness/chromium.mjs';
import { Device } from './harness/device.mjs';
import { hull } from './harness/hull.mjs';
import { PAGES, WINDOW } from './harness/places.mjs';
import { Screens } from './harness/screens.mjs';
import { turned } from './harness/turning.mjs';

const STARTS = 10;
const LOGS = 100;

sizes();
await inTheBrowser();
await onTheShape();
await inTheWindow();

function sizes() {
    const files = readdirSync(PAGES, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
    const packed = { code: 0, style: 0, fonts: 0 };
    for (const { name, parentPath } of files) {
        const bytes = readFileSync(join(parentPath, name));
        if (name.endsWith('.js')) packed.code += gzipSync(bytes, { level: 9 }).length;
        else if (name.endsWith('.css')) packed.style += gzipSync(bytes, { level: 9 }).length;
        // A woff2 is packed already.
        else if (name.endsWith('.woff2')) packed.fonts += bytes.length;
    }
    console.log(`pages, gzipped: ${kB(packed.code + packed.style)} (code ${kB(packed.code)}, style ${kB(packed.style)}; aim 350 kB), fonts ${kB(packed.fonts)} beside it`);
}

async function inTheBrowser() {
    const chromium = await browser();
    const device = new Device();
    try {
        const serving = await withTheDemo(device);
        const starts = [];
        for (let start = 0; start < STARTS; start += 1) {
            const page = await freshPage(chromium, SIZES.tablet);
            const began = performance.now();
            await page.goto(`${serving.origin}/#token=${serving.token}`);
            await page.locator('[data-ready] [data-testid="log"]').waitFor();
            starts.push(performance.now() - began);
            await page.context().close();
        }
        console.log(`start to usable, demo job, page over the bridge: ${spread(starts)} of ${STARTS} (aim 1500 ms)`);
        console.log(`a reading logged to its answer on the page: ${spread(await logs(chromium, device))} of ${LOGS} (aim 50 ms)`);
    } finally {
        await device.away();
        await chromium.close();
    }
}

/** How smoothly shells of two sizes turn, drawn without a graphics card. */
async function onTheShape() {
    const chromium = await browser();
    for (const points of [100, 2400]) {
        const device = new Device();
        try {
            const { counts, ...sheets } = hull(points);
            const at = (name) => join(device.folder, `${name}.csv`);
            for (const [name, sheet] of Object.entries(sheets)) writeFileSync(at(name), sheet);
            device.trammel('job', 'new', 'Hull', '--unit', 'mm', '--by', 'Book');
            device.trammel('job', 'import', '--readings', at('readings'), '--points', at('points'));
            const serving = await device.serve();
            const [{ id }] = await serving.ask('jobs', {});
            await serving.ask('set-device', { job: id });
            const page = await freshPage(chromium, SIZES.tablet);
            page.setDefaultTimeout(120_000);
            await page.goto(serving.link);
            await page.locator('[data-ready]').waitFor();
            await page.evaluate(() => (location.hash = '#/shape'));
            await page.locator('[data-testid="shape-space"][data-drawn="true"]').waitFor();
            // The doubts of a large one come a while after it.
            await page.waitForLoadState('networkidle');
            const { perSecond, slowestMs } = await turned(page);
            console.log(
                `the shape of ${counts.points} points and ${counts.readings} readings, turning: ${perSecond.toFixed(0)} frames a second, 95 % of frames within ${slowestMs.toFixed(0)} ms (aim 60 with 100 points)`,
            );
        } finally {
            await device.away();
        }
    }
    await chromium.close();
}

/** The demo job, as the one that the device had open last. */
async function withTheDemo(device) {
    device.trammel('demo');
    const serving = await device.serve();
    const [demo] = await serving.ask('jobs', {});
    await serving.ask('set-device', { job: demo.id });
    return serving;
}

/** From the touch on Log until the answer stands on the page, in ms, for readings of the demo job logged once more. */
async function logs(chromium, device) {
    const page = await freshPage(chromium, SIZES.tablet);
    const screens = new Screens(page, device);
    await screens.open('measure');
    const tapes = (await screens.readings()).filter(({ kind, state, value }) => kind === 'tape' && state === '' && /\d (in|mm)$/.test(value));
    const times = [];
    for (const { points, value } of tapes.slice(0, LOGS)) {
        await screens.pick(...points);
        await screens.key(value);
        await screens.settled();
        const time = await page.evaluate(
            () =>
                new Promise((done) => {
                    const began = performance.now();
                    const watch = new MutationObserver(() => {
                        if (!document.querySelector('[data-testid="answer"]')) return;
                        watch.disconnect();
                        // What the next frame shows is what is seen.
                        requestAnimationFrame(() => done(performance.now() - began));
                    });
                    watch.observe(document.body, { subtree: true, childList: true });
                    document.querySelector('[data-testid="log"]').click();
                }),
        );
        times.push(time);
        await screens.settled();
        if (await screens.one('answer-next').isVisible()) await screens.touch('answer-next');
    }
    return times;
}

async function inTheWindow() {
    if (!existsSync(WINDOW)) {
        console.log('the window is not built: run `make window` to time it too');
        return;
    }
    const screen = await display();
    const device = new Device();
    try {
        await withTheDemo(device);
        // Two programs cannot work in one store.
        await device.stop();
        const starts = [];
        for (let start = 0; start < STARTS; start += 1) {
            const window = await Window.open(device, screen.name);
            starts.push(window.toUsableMs);
            if (start === STARTS - 1) {
                await window.page.run(() => (location.hash = '#/measure'));
                await window.until(() => document.querySelector('[data-testid="log"]') !== null);
                const parts = window.processes().map(memoryOf);
                const sum = (what) => parts.reduce((total, part) => total + part[what], 0);
                console.log(`memory of the window, demo job: ${MB(sum('pss'))} of its own (PSS), ${MB(sum('rss'))} resident (RSS)`);
                for (const { name, pss, rss } of parts) console.log(`  ${name}: PSS ${MB(pss)}, RSS ${MB(rss)}`);
            }
            await window.end();
        }
        console.log(`start to usable, demo job, the window: ${spread(starts)} of ${STARTS} (aim 1500 ms)`);
    } finally {
        await device.away();
        screen.end();
    }
}

function spread(times) {
    const sorted = times.toSorted((a, b) => a - b);
    const at = (part) => sorted[Math.min(sorted.length - 1, Math.ceil(part * sorted.length) - 1)].toFixed(0);
    return `median ${at(0.5)} ms, 95 % within ${at(0.95)} ms, worst ${at(1)} ms`;
}

function kB(bytes) {
    return `${(bytes / 1000).toFixed(0)} kB`;
}

function MB(kibibytes) {
    return `${(kibibytes / 1024).toFixed(0)} MiB`;
}
