// Runs every journey, two files at a time, and says where to look if one fails.

import { spawnSync } from 'node:child_process';
import { readdirSync, rmSync } from 'node:fs';
import { join, relative } from 'node:path';

import { CHROMIUM, FAILED, mustBeThere, PAGES, TRAMMEL } from './harness/places.mjs';

mustBeThere(TRAMMEL, 'run `cargo build -p cli` first');
mustBeThere(join(PAGES, 'index.html'), 'run `make ui` first');
mustBeThere(CHROMIUM, 'install Chromium (on Debian: apt-get install chromium) or name one with CHROMIUM=…');
rmSync(FAILED, { recursive: true, force: true });

const folder = join(import.meta.dirname, 'journeys');
const wanted = process.argv.slice(2);
const files = readdirSync(folder)
    .filter((name) => name.endsWith('.test.mjs') && (wanted.length === 0 || wanted.some((word) => name.includes(word))))
    .sort()
    .map((name) => join(folder, name));
const windows = join(import.meta.dirname, '../window');
if (wanted.length === 0 || wanted.includes('window')) {
    files.push(...readdirSync(windows).filter((name) => name.endsWith('.test.mjs')).sort().map((name) => join(windows, name)));
}
const run = spawnSync(process.execPath, ['--test', '--test-concurrency=2', '--test-reporter=spec', ...files], {
    stdio: 'inherit',
});
if (run.status !== 0) console.error(`Pictures, pages and logs of what failed: ${relative(process.cwd(), FAILED)}`);
process.exit(run.status ?? 1);
