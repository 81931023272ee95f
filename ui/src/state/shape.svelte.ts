// The shell as it is drawn: where its points are, its readings as lines, of one epoch.

import { call } from '../backend';
import type { Doubts, ShapeShown } from '../gen/wire';
import { job } from './job.svelte';
import { notices } from './notices.svelte';

class ShapeState {
    /** Nothing before it was asked for. */
    now = $state.raw<ShapeShown | null>(null);
    /** The epoch that is asked for; `null` is the newest. An empty name is what was read before any was named. */
    epoch = $state<string | null>(null);
    #doubtsThen = $state.raw<Doubts | null>(null);
    #job = '';
    #asked = 0;
    #points = $derived(new Map(this.now?.points.map((point) => [point.label, point])));
    #lines = $derived(new Map(this.now?.lines.map((line) => [line.reading, line])));

    /** The doubts of what is shown. */
    doubts = $derived(this.epoch === null ? job.doubts : this.#doubtsThen);

    /** Asks for it anew: after a change of the job, or of the epoch. What is shown stays until the answer is there. */
    async load(): Promise<void> {
        if (job.id !== this.#job) {
            this.#job = job.id;
            this.now = this.#doubtsThen = null;
            this.epoch = null;
        }
        if (this.#job === '') return;
        const asked = ++this.#asked;
        const of = { job: this.#job, ...(this.epoch === null ? {} : { epoch: this.epoch }) };
        try {
            const now = await call('shape', of);
            const doubts = this.epoch === null ? null : await call('doubts', of);
            if (asked !== this.#asked) return;
            this.now = now;
            this.#doubtsThen = doubts;
        } catch (cause) {
            if (asked === this.#asked) notices.refused(cause);
        }
    }

    /** The point of a label, as it is drawn. */
    point(label: string): ShapeShown['points'][number] | undefined {
        return this.#points.get(label);
    }

    line(reading: string): ShapeShown['lines'][number] | undefined {
        return this.#lines.get(reading);
    }
}

export const shape = new ShapeState();
