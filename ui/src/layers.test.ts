// Folders need each other one way only: what stands later here may need what stands before it.

import { readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join, normalize, relative } from 'node:path';

import { expect, it } from 'vitest';

const LAYERS = ['gen', 'numbers', 'backend', 'words', 'state', 'parts', 'screens'];
/** Words name kinds and lengths; numbers and words know nothing of screens. */
const SRC = join(__dirname);

function files(folder: string): string[] {
    return readdirSync(folder).flatMap((name) => {
        const path = join(folder, name);
        return statSync(path).isDirectory() ? files(path) : /\.(ts|svelte)$/.test(name) ? [path] : [];
    });
}

const imports = files(SRC).flatMap((file) =>
    [...readFileSync(file, 'utf8').matchAll(/from '(\.[^']+)'/g)].map((found) => ({
        from: relative(SRC, file),
        to: relative(SRC, normalize(join(dirname(file), found[1] ?? ''))),
    })),
);
const folder = (path: string) => path.split('/')[0] ?? '';

it('imports are found at all', () => {
    expect(imports.length).toBeGreaterThan(50);
});

it('no folder needs one that stands above it', () => {
    const wrong = imports.filter(({ from, to }) => {
        const [low, high] = [LAYERS.indexOf(folder(from)), LAYERS.indexOf(folder(to))];
        return low >= 0 && high > low;
    });
    expect(wrong).toEqual([]);
});

it('no room needs another room', () => {
    const room = (path: string) => path.split('/').slice(0, 2).join('/');
    const wrong = imports.filter(
        ({ from, to }) =>
            from.startsWith('screens/') && to.startsWith('screens/') && from.split('/').length > 2 && room(from) !== room(to),
    );
    expect(wrong).toEqual([]);
});

it('only the backend talks to a shell', () => {
    const wrong = files(SRC).filter(
        (file) => /fetch\(|__TAURI|@tauri-apps/.test(readFileSync(file, 'utf8')) && !file.includes('/backend/') && !file.endsWith('layers.test.ts'),
    );
    expect(wrong).toEqual([]);
});

it('a screen says no word of its own', () => {
    // Text between tags that begins with a letter; names of marks and units come from the catalogue.
    const wrong = files(SRC)
        .filter((file) => file.endsWith('.svelte'))
        .flatMap((file) => {
            const page = readFileSync(file, 'utf8')
                .replace(/<script[\s\S]*?<\/script>|<style[\s\S]*?<\/style>|<!--[\s\S]*?-->/g, '')
                .replace(/\{[^{}]*(?:\{[^{}]*(?:\{[^{}]*\}[^{}]*)*\}[^{}]*)*\}/g, '');
            const texts = [...page.matchAll(/(?<![=-])>\s*([A-Za-z][^<>={}]{2,})</g)].map((found) => found[1]);
            return texts.map((text) => `${relative(SRC, file)}: ${text}`);
        });
    expect(wrong).toEqual([]);
});
