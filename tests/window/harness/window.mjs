// Trammel's own window on a display that nobody looks at, driven through tauri-driver.

import { spawn } from 'node:child_process';
import { readdirSync, readFileSync, readlinkSync, realpathSync } from 'node:fs';
import { createServer } from 'node:net';
import { setTimeout as wait } from 'node:timers/promises';

import { mustBeThere, WINDOW } from '../../journeys/harness/places.mjs';
import { WebDriver } from './webdriver.mjs';

const DRIVER = process.env.TAURI_DRIVER ?? 'tauri-driver';

/** How long the window may take to come up, on a busy machine. */
const TO_BEGIN_MS = 60_000;

/** A control that is not there within this time will not come. */
const PATIENCE_MS = 60_000;

export class Window {
    /**
     * Opens the window on a device.
     * @param {import('../../journeys/harness/device.mjs').Device} device
     * @param {string} display
     */
    static async open(device, display) {
        mustBeThere(WINDOW, 'run `make window` first');
        const [port, nativePort] = [await freePort(), await freePort()];
        const driver = spawn(DRIVER, ['--port', port, '--native-port', nativePort], {
            env: { ...device.environment, DISPLAY: display },
            stdio: ['ignore', 'pipe', 'pipe'],
        });
        for (const stream of [driver.stdout, driver.stderr]) stream.setEncoding('utf8').on('data', (text) => (device.log += text));
        const failed = new Promise((_, reject) => {
            driver.once('error', (cause) => reject(new Error(`${DRIVER} does not start: ${cause.message}`)));
            driver.once('exit', (code) => reject(new Error(`${DRIVER} ended with ${code}:\n${device.log}`)));
        });
        failed.catch(() => {});
        const window = new Window(device, driver);
        try {
            await Promise.race([failed, listens(port)]);
            const began = performance.now();
            const asked = { 'tauri:options': { application: realpathSync(WINDOW) } };
            window.page = await Promise.race([failed, WebDriver.session(port, asked, TO_BEGIN_MS)]);
            await window.until(() => document.querySelector('[data-ready]') !== null);
            window.toUsableMs = performance.now() - began;
            return window;
        } catch (cause) {
            await window.end();
            throw cause;
        }
    }

    constructor(device, driver) {
        this.device = device;
        this.driver = driver;
        /** @type {WebDriver} */
        this.page = null;
        this.toUsableMs = NaN;
    }

    /** Waits until a function in the page gives something true. */
    async until(holds, ...args) {
        const end = Date.now() + PATIENCE_MS;
        for (;;) {
            const found = await this.page.run(holds, ...args);
            if (found) return found;
            if (Date.now() > end) throw new Error(`it does not come to pass that ${holds} of ${JSON.stringify(args)}`);
            await wait(30);
        }
    }

    /** Touches what has a test id and maybe further marks, once it is there. */
    async touch(id, marks = '') {
        const selector = `[data-testid="${id}"]${marks}`;
        await this.until((selector) => document.querySelector(selector)?.checkVisibility(), selector);
        await this.page.click(await this.page.find(selector));
    }

    /** Writes into a field. */
    async write(id, text) {
        const selector = `[data-testid="${id}"]`;
        await this.until((selector) => document.querySelector(selector)?.checkVisibility(), selector);
        const field = await this.page.find(selector);
        await this.page.clear(field);
        await this.page.write(field, text);
    }

    /** The text of what has a test id. */
    text(id) {
        return this.page.run((id) => document.querySelector(`[data-testid="${id}"]`)?.textContent ?? '', id);
    }

    /** The processes of this window: the program and what it started. */
    processes() {
        const own = realpathSync(WINDOW);
        const all = readdirSync('/proc').filter((name) => /^\d+$/.test(name)).map(Number);
        const parents = new Map(all.map((id) => [id, parentOf(id)]));
        const programs = all.filter((id) => exeOf(id) === own && isUnder(id, this.driver.pid, parents));
        return all.filter((id) => programs.some((program) => isUnder(id, program, parents)));
    }

    /** Ends the window as a flat battery does. */
    kill() {
        for (const id of this.processes()) process.kill(id, 'SIGKILL');
    }

    async end() {
        await this.page?.end().catch(() => {});
        // The driver's own child would be left behind with a session that no longer answers.
        const left = this.processes();
        this.driver.kill();
        for (const id of left) {
            try {
                process.kill(id, 'SIGKILL');
            } catch {
                // It ended by itself, as it should.
            }
        }
    }
}

/** Memory of a process in KiB: what is resident, and its share where pages are shared. */
export function memoryOf(id) {
    const rollup = readFileSync(`/proc/${id}/smaps_rollup`, 'utf8');
    const of = (name) => Number(new RegExp(`^${name}:\\s+(\\d+)`, 'm').exec(rollup)?.[1] ?? 0);
    return { name: readFileSync(`/proc/${id}/comm`, 'utf8').trim(), rss: of('Rss'), pss: of('Pss') };
}

function isUnder(id, ancestor, parents) {
    for (let at = id; at > 1; at = parents.get(at) ?? 0) if (at === ancestor) return true;
    return false;
}

function parentOf(id) {
    try {
        return Number(/\) \S (\d+)/.exec(readFileSync(`/proc/${id}/stat`, 'utf8'))[1]);
    } catch {
        return 0;
    }
}

function exeOf(id) {
    try {
        return readlinkSync(`/proc/${id}/exe`);
    } catch {
        return '';
    }
}

function freePort() {
    return new Promise((resolve, reject) => {
        const server = createServer();
        server.once('error', reject);
        server.listen(0, '127.0.0.1', () => {
            const { port } = server.address();
            server.close(() => resolve(String(port)));
        });
    });
}

async function listens(port) {
    for (const end = Date.now() + PATIENCE_MS; Date.now() < end; await wait(50)) {
        const answered = await fetch(`http://127.0.0.1:${port}/status`).catch(() => null);
        if (answered) return;
    }
    throw new Error(`${DRIVER} does not listen on port ${port}`);
}
