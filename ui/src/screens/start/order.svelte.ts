// The order of the open job, worked out once for what the job is now.

import { Refused } from '../../backend';
import type { OrderWire } from '../../gen/wire';
import { notices, sentence } from '../../state/notices.svelte';
import { job } from '../../state/job.svelte';
import { LongWork } from '../../state/work.svelte';

class OrderState {
    now = $state.raw<OrderWire | null>(null);
    /** Why there is none, in words. */
    why = $state('');
    work = new LongWork();
    #of = '';

    /** Works it out, unless it holds still. */
    async load(): Promise<void> {
        const of = whatIsSo();
        if (of === this.#of || this.work.isRunning) return;
        if (!of.startsWith(`${job.id} `) || !this.#of.startsWith(`${job.id} `)) this.now = null;
        this.why = '';
        try {
            const reply = await this.work.run('order', { job: job.id });
            this.now = reply?.answer ?? this.now;
            this.#of = reply ? of : '';
            if (!reply) this.why = 'stopped';
        } catch (cause) {
            if (!(cause instanceof Refused)) throw cause;
            this.now = null;
            this.#of = of;
            // That nothing can be planned yet is no fault: it stands on the page.
            if (cause.code === 'nothing-to-solve') this.why = sentence(cause.message);
            else notices.refused(cause);
        }
        // What was logged meanwhile changes it.
        if (this.#of !== '' && whatIsSo() !== this.#of) void this.load();
    }
}

/** Whatever the order depends on, in one line. */
function whatIsSo(): string {
    const { shown } = job;
    if (!shown) return '';
    const readings = shown.readings.map((reading) => `${reading.value}${reading.state}${reading.points.join()}`).join(';');
    const points = shown.points.map((point) => `${point.label}${point.rough.join()}`).join(';');
    return `${job.id} ${shown.frame ?? ''} ${points} ${readings} ${shown.blocked.map((line) => `${line.a}${line.b}`).join(';')}`;
}

export const order = new OrderState();
