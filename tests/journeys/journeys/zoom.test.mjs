// A page enlarged to 200 %, a page 320 px wide, and the largest letters of a device: nothing is cut off, nothing lies
// over anything else, nothing must be pushed sideways, everything can be reached (WCAG 2.2, 1.4.4 and 1.4.10).

import assert from 'node:assert/strict';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';

import { journey } from '../harness/journey.mjs';
import { cutOffOrCovered, outOfReach, prepare, sideways } from '../harness/measured.mjs';
import { FAILED } from '../harness/places.mjs';
import { look, STATES } from '../harness/views.mjs';

const WAYS = [
    { name: 'enlarged to 200 %', width: 640, height: 400, page: { deviceScaleFactor: 2 } },
    { name: 'on a page 320 px wide', width: 320, height: 640 },
    { name: 'with letters of double size on a phone', width: 390, height: 844, letters: '200%' },
    { name: 'with letters of double size on a tablet', width: 820, height: 1180, letters: '200%' },
];

const TRIED = ['demo', 'photographed'].flatMap((state) => WAYS.map((way) => ({ ...way, state })));

for (const { state, name, width, height, letters, page: options } of TRIED) {
    journey(`nothing of a ${state} device breaks ${name}`, { at: ['phone'], page: options }, async ({ device, screens, page }) => {
        const { prepare: begin, views } = STATES[state];
        begin(device);
        await page.setViewportSize({ width, height });
        // The letters of a device are as large before a page is opened as after.
        const enlarge = (letters) => {
            const sheet = new CSSStyleSheet();
            sheet.replaceSync(`html { font-size: ${letters} !important }`);
            document.adoptedStyleSheets = [sheet];
        };
        if (letters) await page.addInitScript(enlarge, letters);
        const found = [];
        for (const view of views) {
            const complaints = [];
            try {
                await look(screens, view);
                await prepare(page);
                complaints.push(...(await sideways(page)), ...(await cutOffOrCovered(page)), ...(await outOfReach(page)));
            } catch (cause) {
                complaints.push(`is not shown: ${cause.message.split('\n')[0]}`);
            }
            if (complaints.length > 0) {
                mkdirSync(FAILED, { recursive: true });
                await page.screenshot({ path: join(FAILED, `look-${view.name}-${width}${letters ? '-letters' : ''}.png`) });
            }
            found.push(...complaints.map((line) => `${view.name}: ${line}`));
        }
        assert.ok(found.length === 0, `\n${found.join('\n')}`);
    });
}
