// What axe finds on a page, by the rules of WCAG 2.0, 2.1 and 2.2, levels A and AA.

import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const SOURCE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22a', 'wcag22aa'];

/**
 * Finds what breaks the rules: a line for each element.
 * @param {import('playwright-core').Page} page
 * @returns {Promise<string[]>}
 */
export async function barriers(page) {
    // By evaluation, since the page's own policy lets no foreign script element in.
    if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(SOURCE);
    return page.evaluate(async (tags) => {
        const found = await window.axe.run(document, {
            runOnly: { type: 'tag', values: tags },
            resultTypes: ['violations'],
        });
        return found.violations.flatMap(({ id, help, nodes }) =>
            nodes.map((node) => {
                const why = node.any[0]?.message ?? node.all[0]?.message ?? node.none[0]?.message ?? help;
                return `${id}: ${node.target.join(' ')}: ${why}`;
            }),
        );
    }, TAGS);
}
