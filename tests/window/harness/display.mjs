// A display that nobody looks at.

import { spawn } from 'node:child_process';

/** How long the display may take to come up. */
const TO_BEGIN_MS = 60_000;

/** Starts Xvfb on a free display and gives its name, once it is there: a window without a display would hang its driver. */
export async function display() {
    const server = spawn('Xvfb', ['-displayfd', '3', '-screen', '0', '1400x1300x24', '-nolisten', 'tcp'], {
        stdio: ['ignore', 'ignore', 'pipe', 'pipe'],
    });
    let said = '';
    server.stderr.setEncoding('utf8').on('data', (text) => (said += text));
    const number = await new Promise((resolve, reject) => {
        let digits = '';
        server.stdio[3].setEncoding('utf8').on('data', (text) => {
            digits += text;
            if (digits.includes('\n')) resolve(digits.trim());
        });
        server.once('error', (cause) => reject(new Error(`there is no Xvfb (on Debian: apt-get install xvfb): ${cause.message}`)));
        server.once('exit', (code) => reject(new Error(`Xvfb ended with ${code}: ${said}`)));
        setTimeout(() => reject(new Error(`Xvfb does not come up: ${said}`)), TO_BEGIN_MS).unref();
    });
    return { name: `:${number}`, end: () => server.kill() };
}
