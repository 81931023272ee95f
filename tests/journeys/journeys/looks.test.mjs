// What must hold of every screen, at every size, in both themes: axe finds no barrier, a finger hits every control,
// nothing is cut off, covered or out of reach, and nothing moves where the device asks for stillness.

import assert from 'node:assert/strict';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';

import { barriers } from '../harness/axe.mjs';
import { SIZES } from '../harness/chromium.mjs';
import { journey } from '../harness/journey.mjs';
import { cutOffOrCovered, moving, outOfReach, prepare, sideways, smallTargets } from '../harness/measured.mjs';
import { FAILED } from '../harness/places.mjs';
import { look, STATES } from '../harness/views.mjs';

/** The least width and height of a control, in px. */
const FINGER = 48;

for (const [state, { prepare: begin, views }] of Object.entries(STATES)) {
    journey(`every screen of a ${state} device can be read and hit`, {}, async ({ device, screens, page, size }) => {
        begin(device);
        const found = [];
        for (const view of views) {
            const complaints = [];
            try {
                await look(screens, view);
                await prepare(page);
                if (size.touch) complaints.push(...(await smallTargets(page, FINGER, size.key)));
                complaints.push(...(await sideways(page)), ...(await cutOffOrCovered(page)), ...(await moving(page)));
                complaints.push(...(await barriers(page)));
                await page.emulateMedia({ colorScheme: 'dark' });
                complaints.push(...(await barriers(page, { colours: true })).map((line) => `${line}, dark`));
                await page.emulateMedia({ colorScheme: 'light' });
                // Last, as it scrolls.
                complaints.push(...(await outOfReach(page)));
            } catch (cause) {
                complaints.push(`is not shown: ${cause.message.split('\n')[0]}`);
            }
            if (complaints.length > 0) await keep(page, `${view.name}-${nameOf(size)}`);
            found.push(...complaints.map((line) => `${view.name}: ${line}`));
        }
        assert.ok(found.length === 0, `\n${found.join('\n')}`);
    });
}

const nameOf = (size) => Object.keys(SIZES).find((name) => SIZES[name] === size);

async function keep(page, name) {
    mkdirSync(FAILED, { recursive: true });
    await page.screenshot({ path: join(FAILED, `look-${name}.png`) });
}
