// One device: a store of its own in a folder that goes away, the command line on it, and the bridge that serves it.

import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';

import { mustBeThere, TRAMMEL } from './places.mjs';

/** How long the bridge may take to say its address, on a busy machine. */
const TO_BEGIN_MS = 60_000;

export class Device {
    /** @type {Serving | null} */
    #serving = null;

    constructor() {
        mustBeThere(TRAMMEL, 'run `cargo build -p cli` first');
        this.folder = mkdtempSync(join(tmpdir(), 'trammel-journey-'));
        this.store = join(this.folder, 'store');
        /** What the command line and the bridge said, for whoever looks into a failure. */
        this.log = '';
    }

    /** Nothing of whoever runs the tests reaches the programs, and nothing of theirs reaches the home folder. */
    get environment() {
        const { PATH, LANG = 'C.UTF-8', DISPLAY = '' } = process.env;
        const home = join(this.folder, 'home');
        return {
            PATH,
            LANG,
            DISPLAY,
            HOME: home,
            XDG_DATA_HOME: join(home, 'data'),
            XDG_CONFIG_HOME: join(home, 'config'),
            XDG_CACHE_HOME: join(home, 'cache'),
            TRAMMEL_STORE: this.store,
        };
    }

    /**
     * Runs the command line on this device and gives what it printed.
     * @param {...string} words
     */
    trammel(...words) {
        const done = spawnSync(TRAMMEL, words, { env: this.environment, encoding: 'utf8', timeout: 120_000 });
        this.log += `$ trammel ${words.join(' ')}\n${done.stdout}${done.stderr}`;
        if (done.error) throw done.error;
        // 3 is "nothing can be solved yet", which is a state like any other.
        if (done.status !== 0 && done.status !== 3) {
            throw new Error(`trammel ${words.join(' ')} ended with ${done.status ?? done.signal}: ${done.stderr}`);
        }
        return done.stdout;
    }

    /** Starts the bridge, or gives the one that runs. */
    async serve() {
        this.#serving ??= await Serving.start(this);
        return this.#serving;
    }

    /** Ends the bridge as a person does, or as a flat battery does. */
    async stop(signal = 'SIGINT') {
        await this.#serving?.stop(signal);
        this.#serving = null;
    }

    async away() {
        await this.stop();
        rmSync(this.folder, { recursive: true, force: true });
    }
}

class Serving {
    /** @type {import('node:child_process').ChildProcess} */
    #process;
    #ended;

    constructor(process, ended, link) {
        this.#process = process;
        this.#ended = ended;
        /** The address with the token, as the program printed it. */
        this.link = link;
        this.origin = new URL(link).origin;
        this.token = new URL(link).hash.replace('#token=', '');
    }

    /** @param {Device} device */
    static async start(device) {
        const process = spawn(TRAMMEL, ['serve'], { env: device.environment, stdio: ['ignore', 'pipe', 'pipe'] });
        const ended = new Promise((resolve) => process.once('exit', resolve));
        process.stderr.setEncoding('utf8').on('data', (text) => (device.log += text));
        const link = new Promise((resolve, reject) => {
            createInterface({ input: process.stdout }).on('line', (line) => {
                device.log += `${line}\n`;
                const found = /http:\/\/\S+#token=\S+/.exec(line);
                if (found) resolve(found[0]);
            });
            process.once('error', reject);
            process.once('exit', (code) => reject(new Error(`trammel serve ended with ${code}:\n${device.log}`)));
            setTimeout(() => reject(new Error(`trammel serve gave no address:\n${device.log}`)), TO_BEGIN_MS).unref();
        });
        try {
            return new Serving(process, ended, await link);
        } catch (cause) {
            process.kill('SIGKILL');
            throw cause;
        }
    }

    async stop(signal) {
        this.#process.kill(signal);
        const late = setTimeout(() => this.#process.kill('SIGKILL'), 5_000);
        await this.#ended;
        clearTimeout(late);
    }

    /** Asks the desk as the pages do: for what a journey has to know and no screen says to the last digit. */
    async ask(command, ask) {
        const json = new TextEncoder().encode(JSON.stringify(ask));
        const body = new Uint8Array(4 + json.length);
        new DataView(body.buffer).setUint32(0, json.length, true);
        body.set(json, 4);
        const response = await fetch(`${this.origin}/desk/${command}`, {
            method: 'POST',
            headers: { 'Trammel-Token': this.token },
            body,
        });
        const answered = await response.arrayBuffer();
        if (!response.ok) throw new Error(`${command}: ${new TextDecoder().decode(answered)}`);
        const length = new DataView(answered).getUint32(0, true);
        return JSON.parse(new TextDecoder().decode(new Uint8Array(answered, 4, length))).answer;
    }
}
