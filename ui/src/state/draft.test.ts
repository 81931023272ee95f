import { beforeEach, expect, it, vi } from 'vitest';

// The desk keeps one text a job and answers when it is told to.
const desk = vi.hoisted(() => ({ kept: new Map<string, string>(), asked: 0, waiting: [] as ((fails: boolean) => void)[] }));
vi.mock('../backend', () => ({
    Refused: class extends Error {},
    async call(_: 'draft', { job }: { job: string }): Promise<string | null> {
        desk.asked += 1;
        const fails = await new Promise<boolean>((resolve) => desk.waiting.push(resolve));
        if (fails) throw new Error('the desk is away');
        return desk.kept.get(job) ?? null;
    },
    backend: {
        async reply(_: 'keep-draft', { job, draft }: { job: string; draft: string }): Promise<void> {
            desk.kept.set(job, draft);
        },
    },
}));

import { draft, type ListDraft, type PadDraft } from './draft.svelte';

const list: ListDraft = { doors: 4, out: {}, names: {}, own: [] };
const pad = { kind: 'tape', points: ['a', 'b'] } as PadDraft;
const answer = (fails = false): void => desk.waiting.splice(0).forEach((waiting) => waiting(fails));
const kept = (job: string): unknown => JSON.parse(desk.kept.get(job) ?? 'null');

let job = '';
beforeEach(() => {
    job = `job ${desk.asked + 1}`;
    desk.kept.clear();
});

it('whoever asks for what was typed waits for the one answer', async () => {
    desk.kept.set(job, JSON.stringify({ list }));
    const both = Promise.all([draft.load(job), draft.load(job)]);
    answer();
    await both;
    expect(draft.now).toEqual({ list });
    expect(desk.waiting).toEqual([]);
});

it('what is typed before the answer is kept beside what was kept before', async () => {
    desk.kept.set(job, JSON.stringify({ list }));
    const loading = draft.load(job);
    draft.keep({ pad });
    expect(kept(job)).toEqual({ list });
    answer();
    await loading;
    await vi.waitFor(() => expect(kept(job)).toEqual({ list, pad }));
});

it('where it cannot be read nothing is written over it, and it is asked for again', async () => {
    desk.kept.set(job, JSON.stringify({ list }));
    const failing = draft.load(job);
    answer(true);
    await expect(failing).rejects.toThrow('away');
    draft.keep({ pad });
    expect(kept(job)).toEqual({ list });
    const loading = draft.load(job);
    answer();
    await loading;
    expect(draft.now).toEqual({ list });
});

it('an answer that comes after another job was opened is not taken for that one', async () => {
    desk.kept.set(job, JSON.stringify({ list }));
    const [first, second] = [draft.load(job), draft.load(`${job}, another`)];
    answer();
    await Promise.all([first, second]);
    expect(draft.now).toEqual({});
    draft.keep({ pad });
    await vi.waitFor(() => expect(kept(`${job}, another`)).toEqual({ pad }));
    expect(kept(job)).toEqual({ list });
});
