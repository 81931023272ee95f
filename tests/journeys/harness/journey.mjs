// A journey: one person's way through the screens on a device of its own, with a limit of time and, where it fails,
// all that is needed to see why.

import { mkdirSync, writeFileSync } from 'node:fs';
import { relative } from 'node:path';
import { after, before, test } from 'node:test';

import { browser, freshPage, listenTo, SIZES } from './chromium.mjs';
import { Device } from './device.mjs';
import { FAILED } from './places.mjs';
import { Screens } from './screens.mjs';

/** @type {import('playwright-core').Browser} */
let chromium;

/**
 * @typedef {object} Way
 * @property {Device} device
 * @property {Screens} screens what a person does on the screens
 * @property {import('playwright-core').Page} page
 * @property {typeof SIZES.phone} size
 * @property {(doing: string) => void} step says what is being done, for whoever reads of a failure
 * @property {() => Promise<Screens>} restart another start of the browser on the same device
 */

/**
 * Tries a journey at each of the sizes.
 * @param {string} name a sentence
 * @param {{at?: (keyof typeof SIZES)[], within?: number, page?: object}} options
 * @param {(way: Way) => Promise<void>} journey
 */
export function journey(name, { at = ['phone', 'tablet', 'desktop'], within = 600_000, page = {} }, journey) {
    for (const size of at) {
        // The runner's own limit is only for what cannot be stopped from within.
        test(`${name}, on a ${size}`, { timeout: within + 30_000 }, () => tried(name, size, within, page, journey));
    }
}

before(async () => {
    chromium = await browser();
});

after(async () => {
    await chromium?.close();
});

async function tried(name, sizeName, within, pageOptions, journey) {
    const size = SIZES[sizeName];
    const device = new Device();
    const way = { device, size, doing: 'beginning', step: (doing) => (way.doing = doing) };
    const opened = [];
    way.restart = async () => {
        way.page = await freshPage(chromium, size, pageOptions);
        const heard = listenTo(way.page);
        opened.push({ page: way.page, heard });
        way.screens = new Screens(way.page, device, way.step);
        return way.screens;
    };
    try {
        await way.restart();
        await inTime(journey(way), within, way);
        const faults = opened.flatMap(({ heard }) => heard.faults);
        if (faults.length > 0) throw new Error(`the page complained:\n${faults.join('\n')}`);
    } catch (cause) {
        const kept = await evidence(`${name} ${sizeName}`, opened, device);
        throw new Error(`while ${way.doing}: ${cause.message}\nPicture, page and logs: ${kept}`, { cause });
    } finally {
        for (const { page } of opened) await page.context().close();
        await device.away();
    }
}

/** A hang becomes a failure that says where. */
async function inTime(work, within, way) {
    let timer;
    const late = new Promise((_, reject) => {
        timer = setTimeout(() => reject(new Error(`not done within ${within / 1000} s`)), within);
    });
    // What the work throws after it was given up on is of no interest.
    work.catch(() => {});
    try {
        return await Promise.race([work, late]);
    } finally {
        clearTimeout(timer);
    }
}

/** Keeps what can be seen of a failure in one flat folder, and gives the beginning of the files' names. */
async function evidence(name, opened, device) {
    mkdirSync(FAILED, { recursive: true });
    const stem = `${FAILED}/${name.replace(/[^A-Za-z0-9]+/g, '-')}`;
    writeFileSync(`${stem}.server.log`, device.log);
    for (const [index, { page, heard }] of opened.entries()) {
        const part = opened.length > 1 ? `${stem}.${index + 1}` : stem;
        writeFileSync(`${part}.browser.log`, `${heard.lines.join('\n')}\n`);
        if (page.isClosed()) continue;
        // A page that hangs gives no picture; the logs are kept all the same.
        await page.screenshot({ path: `${part}.png`, timeout: 5_000 }).catch(() => {});
        const html = await Promise.race([page.content(), later(5_000)]).catch(() => null);
        if (html) writeFileSync(`${part}.html`, html);
    }
    return `${relative(process.cwd(), stem)}.*`;
}

function later(ms) {
    return new Promise((resolve) => setTimeout(() => resolve(null), ms).unref());
}
