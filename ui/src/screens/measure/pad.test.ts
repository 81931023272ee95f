import { expect, it, vi } from 'vitest';

// The desk takes its time over each key.
const desk = vi.hoisted(() => ({ waiting: [] as (() => void)[], logged: [] as string[] }));
vi.mock('../../backend', () => ({
    Refused: class extends Error {},
    backend: {},
    async call(command: string, ask: { reading?: { value: string } }): Promise<unknown> {
        const value = ask.reading?.value ?? '';
        if (command === 'log-reading') {
            desk.logged.push(value);
            return { name: 'r001', compared: null };
        }
        if (command !== 'typed') return null;
        await new Promise<void>((resolve) => desk.waiting.push(resolve));
        const problem = value.endsWith('/') ? { place: value.length, reason: 'stops after the slash' } : null;
        return { quantity: 'length', read: problem ? null : 1, observed: null, problem };
    },
}));

vi.mock('../../state/signal', () => ({ signal: { key() {}, logged() {}, fits() {}, off() {} } }));

import { pad } from './pad.svelte';

const answersOfTheDesk = async (): Promise<void> => {
    for (const answer of desk.waiting.splice(0)) answer();
    await Promise.resolve();
};

it('what stands on the pad is logged, although the desk still says of an earlier key that it cannot be read', async () => {
    pad.take({ kind: 'tape', points: ['a', 'b'] });
    for (const key of '48 1/') pad.letter(key);
    await answersOfTheDesk();
    await vi.waitFor(() => expect(pad.understood?.problem).toBeTruthy());

    pad.letter('2');
    const logging = pad.log();
    await answersOfTheDesk();
    expect(await logging).toBe(true);
    expect(desk.logged).toEqual(['48 1/2 mm']);
});

it('what cannot be read stays on the pad and is told', async () => {
    pad.take({ kind: 'tape', points: ['a', 'b'] });
    for (const key of '48 1/') pad.letter(key);
    const logging = pad.log();
    await answersOfTheDesk();
    expect(await logging).toBe(false);
    expect(pad.missing).toEqual({ what: 'unread', reason: 'stops after the slash' });
    expect(pad.text).toContain('48 1/');
});
