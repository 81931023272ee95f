// The sheet for the wall: looked at, turned over, saved.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';

import { journey } from '../harness/journey.mjs';

journey('the sheet for the wall is looked at and saved', {}, async ({ device, screens, step }) => {
    device.trammel('demo');
    await screens.open('hand-off');
    const page = screens.page;
    const picture = screens.one('wall-page');
    await picture.waitFor();
    /** What the picture is as drawn: its width over its height, once it is there. */
    const shape = () =>
        picture.evaluate(async (image) => {
            await image.decode();
            return image.naturalWidth / image.naturalHeight;
        });
    // The demo is read in inches, so Letter is offered first: 8.5 by 11 in.
    assert.ok(Math.abs((await shape()) - 8.5 / 11) < 0.01);

    step('choosing A4 and the next page');
    const first = await picture.getAttribute('src');
    await screens.one('paper', '[data-value="a4"]').check({ force: true });
    await page.waitForFunction((first) => document.querySelector('[data-testid="wall-page"]').src !== first, first);
    assert.ok(Math.abs((await shape()) - 210 / 297) < 0.01);
    await page.getByRole('button', { name: 'Next page' }).click();
    await page.getByAltText(/^Page 2 of 5/).waitFor();

    step('saving');
    const saved = async (what) => {
        const button = screens.one('take-away', `[data-value="${what}"]`);
        const [file] = await Promise.all([page.waitForEvent('download'), button.click()]);
        return [file.suggestedFilename(), readFileSync(await file.path())];
    };
    const [pdfName, pdf] = await saved('wall-pdf');
    assert.equal(pdfName, 'demo-wall.pdf');
    assert.equal(pdf.subarray(0, 5).toString(), '%PDF-');
    const [svgName, svg] = await saved('wall-svg');
    assert.equal(svgName, 'demo-wall-2.svg');
    assert.match(svg.toString(), /width="210mm" height="297mm"/);
    assert.match(svg.toString(), /From the left, 1:/);
});
