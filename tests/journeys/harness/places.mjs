// Where the programs under test are, and where what they leave behind is put.

import { existsSync } from 'node:fs';
import { resolve } from 'node:path';

const REPOSITORY = resolve(import.meta.dirname, '../../..');

/** The command line; TRAMMEL_BIN names another build of it. */
export const TRAMMEL = process.env.TRAMMEL_BIN ?? resolve(REPOSITORY, 'target/debug/trammel');

/** The window; TRAMMEL_WINDOW_BIN names another build of it. */
export const WINDOW = process.env.TRAMMEL_WINDOW_BIN ?? resolve(REPOSITORY, 'target/debug/trammel-window');

/** The browser; CHROMIUM names another one. */
export const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium';

/** The built pages. */
export const PAGES = resolve(REPOSITORY, 'ui/dist');

/** Surveys with an independent solution beside them. */
export const CASES = resolve(REPOSITORY, 'tests/data/cases');

/** Photos that were drawn for the tests. */
export const PHOTOS = resolve(REPOSITORY, 'tests/data/photos');

/** Readings of a later epoch of the demo job. */
export const EPOCHS = resolve(REPOSITORY, 'tests/data/epochs');

/** What is left of a journey that failed. */
export const FAILED = resolve(import.meta.dirname, '../failed');

/** Pictures of every screen. */
export const PICTURES = resolve(import.meta.dirname, '../pictures');

/** Says what is missing and how to get it, before anything hangs for want of it. */
export function mustBeThere(path, how) {
    if (!existsSync(path)) throw new Error(`${path} is not there: ${how}`);
}
