// A journey in the real window, with a limit of time and, where it fails, all that is needed to see why.

import { mkdirSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { after, before, test } from 'node:test';

import { Device } from '../../journeys/harness/device.mjs';
import { FAILED } from '../../journeys/harness/places.mjs';
import { display } from './display.mjs';
import { Window } from './window.mjs';

let screen;

before(async () => {
    screen = await display();
});

after(() => screen?.end());

/**
 * Tries a journey in the window.
 * @param {string} name a sentence
 * @param {(way: {device: Device, open: () => Promise<Window>, step: (doing: string) => void}) => Promise<void>} journey
 */
export function journey(name, journey, within = 600_000) {
    test(name, { timeout: within + 30_000 }, async () => {
        const device = new Device();
        const opened = [];
        let doing = 'beginning';
        const way = {
            device,
            step: (now) => (doing = now),
            async open() {
                doing = 'opening the window';
                opened.push(await Window.open(device, screen.name));
                return opened.at(-1);
            },
        };
        let timer;
        const late = new Promise((_, reject) => {
            timer = setTimeout(() => reject(new Error(`not done within ${within / 1000} s`)), within);
        });
        try {
            const work = journey(way);
            work.catch(() => {});
            await Promise.race([work, late]);
        } catch (cause) {
            const kept = await evidence(name, opened.at(-1), device);
            throw new Error(`while ${doing}: ${cause.message}\nPicture, page and log: ${kept}`, { cause });
        } finally {
            clearTimeout(timer);
            for (const window of opened) await window.end();
            await device.away();
        }
    });
}

async function evidence(name, window, device) {
    mkdirSync(FAILED, { recursive: true });
    const stem = join(FAILED, `window-${name.replace(/[^A-Za-z0-9]+/g, '-')}`);
    const picture = await window?.page?.picture().catch(() => null);
    if (picture) writeFileSync(`${stem}.png`, picture);
    const page = await window?.page?.source().catch(() => null);
    if (page) writeFileSync(`${stem}.html`, page);
    writeFileSync(`${stem}.window.log`, device.log);
    return `${relative(process.cwd(), stem)}.*`;
}
