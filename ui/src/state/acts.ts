// What is done to the job from a list or a panel: told when it is done, with the way back.

import type { Act } from '../gen/wire';
import { w } from '../words';
import { attempt, job } from './job.svelte';
import { notices } from './notices.svelte';

/** Does one thing, or several one after the other, and tells it with Undo beside it. Gives whether all were done. */
export async function actAndTell(acts: Act | readonly Act[], told: string): Promise<boolean> {
    const all = Array.isArray(acts) ? (acts as readonly Act[]) : [acts as Act];
    let changes = 0;
    const isDone = await attempt(async () => {
        for (const act of all) if ((await job.act(act)).change !== null) changes += 1;
    });
    if (isDone) {
        const action = changes > 0 ? { word: w.undo, act: () => void undoSeveral(changes) } : undefined;
        notices.show({ tone: 'done', phrase: [told], problems: [], action });
    }
    return isDone;
}

async function undoSeveral(changes: number): Promise<void> {
    await attempt(async () => {
        for (let turn = 0; turn < changes; turn += 1) await job.undo();
    });
}
