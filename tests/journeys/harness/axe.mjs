// What axe finds on a page, by the rules of WCAG 2.0, 2.1 and 2.2, levels A and AA.

import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const SOURCE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22a', 'wcag22aa'];

/** What depends on the theme; all else is the same in both. */
const COLOURS = ['color-contrast', 'link-in-text-block'];

/**
 * Finds what breaks the rules: a line for each element.
 * @param {import('playwright-core').Page} page
 * @param {{colours?: boolean}} only `colours`: only what depends on the theme
 * @returns {Promise<string[]>}
 */
export async function barriers(page, { colours = false } = {}) {
    // By evaluation, since the page's own policy lets no foreign script element in.
    if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(SOURCE);
    const runOnly = colours ? { type: 'rule', values: COLOURS } : { type: 'tag', values: TAGS };
    return page.evaluate(async (runOnly) => {
        const found = await window.axe.run(document, { runOnly, resultTypes: ['violations'] });
        return found.violations.flatMap(({ id, help, nodes }) =>
            nodes.map((node) => {
                const why = node.any[0]?.message ?? node.all[0]?.message ?? node.none[0]?.message ?? help;
                return `${id}: ${node.target.join(' ')}: ${why}`;
            }),
        );
    }, runOnly);
}
