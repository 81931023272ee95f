import { afterEach, beforeEach, expect, test, vi } from 'vitest';

import { Pictures } from './pictures';

let revoked: string[] = [];
beforeEach(() => {
    let made = 0;
    revoked = [];
    vi.spyOn(URL, 'createObjectURL').mockImplementation(() => `blob:${(made += 1)}`);
    vi.spyOn(URL, 'revokeObjectURL').mockImplementation((address) => void revoked.push(address));
});
afterEach(() => {
    vi.restoreAllMocks();
});

const sized = (bytes: number) => new Blob([new Uint8Array(bytes)]);

test('a picture is fetched once, however many ask for it', async () => {
    const fetch = vi.fn(() => Promise.resolve(sized(10)));
    const pictures = new Pictures(fetch, 100);
    const all = await Promise.all([pictures.address('small/a'), pictures.address('small/a')]);
    expect(all).toEqual(['blob:1', 'blob:1']);
    expect(await pictures.address('small/a')).toBe('blob:1');
    expect(fetch).toHaveBeenCalledTimes(1);
});

test('where they take too much room, the one not asked for longest is let go', async () => {
    const fetch = vi.fn(() => Promise.resolve(sized(40)));
    const pictures = new Pictures(fetch, 100);
    await pictures.address('a');
    await pictures.address('b');
    await pictures.address('a');
    await pictures.address('c');
    await vi.waitFor(() => expect(revoked).toEqual(['blob:2']));
    await pictures.address('a');
    expect(fetch).toHaveBeenCalledTimes(3);
});

test('one that is larger than all the room is shown all the same', async () => {
    const pictures = new Pictures(() => Promise.resolve(sized(500)), 100);
    expect(await pictures.address('a')).toBe('blob:1');
    await pictures.address('b');
    await vi.waitFor(() => expect(revoked).toEqual(['blob:1']));
});

test('what failed is asked for again', async () => {
    const fetch = vi.fn().mockRejectedValueOnce(new Error('not here')).mockResolvedValueOnce(sized(1));
    const pictures = new Pictures(fetch, 100);
    await expect(pictures.address('a')).rejects.toThrow('not here');
    expect(await pictures.address('a')).toBe('blob:1');
});
