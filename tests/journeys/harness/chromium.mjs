// The browser, the three sizes, and a page whose every word is kept.

import { chromium } from 'playwright-core';

import { CHROMIUM, mustBeThere } from './places.mjs';

/** The sizes that every screen is made for. */
export const SIZES = {
    phone: { width: 390, height: 844, touch: true, key: 48 },
    tablet: { width: 820, height: 1180, touch: true, key: 64 },
    desktop: { width: 1280, height: 800, touch: false, key: 48 },
};

/** A control that is not there within this time will not come; long, for a machine that does other things besides. */
export const PATIENCE_MS = 60_000;

const QUIET = [
    '--no-sandbox',
    // Drawings in space are drawn without a graphics card.
    '--use-angle=swiftshader',
    '--enable-unsafe-swiftshader',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    '--force-color-profile=srgb',
];

/** Starts the browser. One that is killable can be ended as a flat battery ends it. */
export async function browser({ killable = false } = {}) {
    mustBeThere(CHROMIUM, 'install Chromium (on Debian: apt-get install chromium) or name one with CHROMIUM=…');
    const how = { executablePath: CHROMIUM, args: QUIET, timeout: PATIENCE_MS };
    if (!killable) return chromium.launch(how);
    const server = await chromium.launchServer(how);
    const connected = await chromium.connect(server.wsEndpoint());
    return Object.assign(connected, { kill: () => server.process().kill('SIGKILL') });
}

/**
 * A page on a device of its own, with nothing kept from another.
 * @param {import('playwright-core').Browser} browser
 * @param {{width: number, height: number, touch?: boolean}} size
 * @param {import('playwright-core').BrowserContextOptions} more
 */
export async function freshPage(browser, size, more = {}) {
    const context = await browser.newContext({
        viewport: { width: size.width, height: size.height },
        hasTouch: size.touch ?? false,
        locale: 'en-GB',
        reducedMotion: 'reduce',
        colorScheme: 'light',
        ...more,
    });
    const page = await context.newPage();
    page.setDefaultTimeout(PATIENCE_MS);
    return page;
}

/**
 * Keeps what a page says and what goes wrong in it.
 * @param {import('playwright-core').Page} page
 */
export function listenTo(page) {
    const heard = { lines: [], faults: [] };
    page.on('console', (message) => {
        heard.lines.push(`${message.type()}: ${message.text()} ${message.location().url}`);
        // A refusal of the desk is an answer, which the page tells; the browser notes it all the same.
        const isRefusal = message.text().includes('status of 422');
        if (message.type() === 'error' && !isRefusal) heard.faults.push(`${message.text()} ${message.location().url}`);
    });
    page.on('pageerror', (error) => {
        heard.lines.push(`thrown: ${error.stack ?? error.message}`);
        heard.faults.push(error.message);
    });
    page.on('request', (request) => {
        const { protocol, hostname, href } = new URL(request.url());
        const isOurs = ['data:', 'blob:'].includes(protocol) || hostname === '127.0.0.1';
        if (!isOurs) heard.faults.push(`the page asked for ${href}, which is not on this device`);
    });
    return heard;
}
