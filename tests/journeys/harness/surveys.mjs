// Surveys of the reference cases, and small changes to them.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';

import { CASES } from './places.mjs';

/** The path of a sheet of a case. */
export const sheet = (name, of) => join(CASES, name, `${of}.csv`);

/** The rows of a sheet, each by the names of its columns. */
export function rowsOf(text) {
    const [head, ...rows] = text.trimEnd().split(/\r?\n/).map(cells);
    return rows.map((row) => Object.fromEntries(head.map((name, index) => [name, row[index]])));
}

function cells(line) {
    const found = [...`${line},`.matchAll(/(?:"((?:[^"]|"")*)"|([^,]*)),/g)];
    return found.map(([, quoted, bare]) => quoted?.replaceAll('""', '"') ?? bare);
}

/** The rows of a sheet of a case. */
export const rows = (name, of = 'readings') => rowsOf(readFileSync(sheet(name, of), 'utf8'));

/** Rows as a sheet again. */
export function sheetOf(rows) {
    const names = Object.keys(rows[0]);
    const cell = (text) => (/[",]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
    return [names, ...rows.map((row) => names.map((name) => row[name]))].map((row) => row.map(cell).join(',')).join('\n') + '\n';
}

/** The four tapes that alone hold a point, and which of them was burned. */
const FOUR = ['q127', 'q129', 'q131', 'q132'];
const BURNED = 'q129';
const HELD = 'arch-top-R';

/**
 * The plain case with one point left to four tapes, of which one is an inch too long: there is one reading more than
 * it takes, so that each of the four could be the one. `truth` gives what a tape says between two points.
 */
export function unclearSurvey() {
    const all = rows('plain');
    const kept = all.filter((row) => FOUR.includes(row.id) || ![row.a, row.b].includes(HELD));
    const truth = (a, b) => {
        const row = all.find((row) => row.kind === 'tape' && [row.a, row.b].sort().join() === [a, b].sort().join());
        return `${Number.parseFloat(row.value).toFixed(1)} mm`;
    };
    const slipped = kept.map((row) =>
        row.id === BURNED ? { ...row, value: `${(Number.parseFloat(row.value) + 25.4).toFixed(4)} mm` } : row,
    );
    return { readings: sheetOf(slipped), truth, burned: BURNED };
}
