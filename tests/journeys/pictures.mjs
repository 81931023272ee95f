// Takes a picture of every screen at the three sizes in both themes, and a sheet of them all. They are for eyes.

import { mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join, relative } from 'node:path';

import { browser, freshPage, SIZES } from './harness/chromium.mjs';
import { Device } from './harness/device.mjs';
import { PICTURES } from './harness/places.mjs';
import { Screens } from './harness/screens.mjs';
import { look, STATES } from './harness/views.mjs';

const wanted = process.argv.slice(2);
const isWanted = ({ name }) => wanted.length === 0 || wanted.some((word) => name.includes(word));

rmSync(PICTURES, { recursive: true, force: true });
mkdirSync(PICTURES, { recursive: true });
const chromium = await browser();
const missed = [];
for (const { prepare, views } of Object.values(STATES)) {
    const chosen = views.filter(isWanted);
    if (chosen.length === 0) continue;
    for (const [sizeName, size] of Object.entries(SIZES)) {
        const device = new Device();
        try {
            prepare(device);
            const page = await freshPage(chromium, size);
            const screens = new Screens(page, device);
            for (const view of chosen) {
                try {
                    await look(screens, view);
                } catch (cause) {
                    missed.push(`${view.name} on a ${sizeName}: ${cause.message.split('\n')[0]}`);
                }
                for (const colorScheme of ['light', 'dark']) {
                    await page.emulateMedia({ colorScheme });
                    await screens.settled();
                    await page.screenshot({ path: join(PICTURES, `${view.name}.${sizeName}.${colorScheme}.png`) });
                }
                await page.emulateMedia({ colorScheme: 'light' });
            }
            await page.context().close();
        } finally {
            await device.away();
        }
    }
}
await sheets();
await chromium.close();
console.log(`${readdirSync(PICTURES).length} pictures in ${relative(process.cwd(), PICTURES)}; all at a glance: sheet.*.png`);
if (missed.length > 0) {
    console.error(`Not shown as they should be:\n${missed.join('\n')}`);
    process.exit(1);
}

/** All pictures of one size and theme on one sheet. */
async function sheets() {
    for (const [sizeName, size] of Object.entries(SIZES)) {
        for (const theme of ['light', 'dark']) {
            const end = `.${sizeName}.${theme}.png`;
            const names = readdirSync(PICTURES).filter((name) => name.endsWith(end)).sort();
            const figures = names.map((name) => {
                const data = readFileSync(join(PICTURES, name)).toString('base64');
                return `<figure><img src="data:image/png;base64,${data}"><figcaption>${name.replace(end, '')}</figcaption></figure>`;
            });
            const wide = size.width > 1000 ? 480 : 240;
            const page = await freshPage(chromium, { width: wide * (size.width > 1000 ? 3 : 6) + 100, height: 800 });
            await page.setContent(
                `<style>body{font:14px sans-serif;margin:10px;display:flex;flex-wrap:wrap;gap:12px;background:#888}
                figure{margin:0;width:${wide}px}img{width:100%;display:block}</style>${figures.join('')}`,
            );
            await page.screenshot({ path: join(PICTURES, `sheet${end}`), fullPage: true });
            await page.context().close();
        }
    }
}
