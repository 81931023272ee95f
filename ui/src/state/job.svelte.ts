// The job that is open: what is in it, what follows from it, and what is done to it.

import { call } from '../backend';
import type { Act, Acted, AdjustmentWire, Doubts, JobShown, Logged, LogReading, ReadingLine, Undone } from '../gen/wire';
import type { Unit } from '../numbers/length';
import { device } from './device.svelte';
import { notices } from './notices.svelte';

class JobState {
    /** The job laid open; nothing where none is chosen. */
    shown = $state.raw<JobShown | null>(null);
    /** What the readings say together; nothing where they determine nothing yet. */
    solved = $state.raw<AdjustmentWire | null>(null);
    /** What stands between the crew and an order for tube. */
    doubts = $state.raw<Doubts | null>(null);
    /** Whether something is being worked out that the screen does not show yet. */
    isBehind = $state(false);

    #again = false;

    unit = $derived<Unit>(this.shown?.unit ?? 'mm');
    #named = $derived(new Map(this.shown?.readings.map((reading) => [reading.name, reading])));
    /** Readings by name, as the adjustment has them. */
    found = $derived(new Map(this.solved?.readings.map((reading) => [reading.id, reading])));
    /** Points by label, as the adjustment has them. */
    places = $derived(new Map(this.solved?.points.map((point) => [point.label, point])));
    /** Labels of the points that nobody has read yet. */
    unread = $derived(new Set(this.doubts?.doubts.filter(({ kind }) => kind === 'not-read').flatMap(({ points }) => points)));

    get id(): string {
        return this.shown?.id ?? '';
    }

    /** Opens a job and remembers it as the one that this device works on. */
    async open(id: string): Promise<void> {
        this.solved = null;
        this.doubts = null;
        this.shown = await call('show', { job: id });
        if (device.now.job !== id) await device.set({ job: id });
        void this.work();
    }

    close(): void {
        this.shown = this.solved = this.doubts = null;
    }

    /** Reads the job again, after something was done to it. */
    async refresh(): Promise<void> {
        if (this.id === '') return;
        this.shown = await call('show', { job: this.id });
        void this.work();
    }

    /** Works out what follows from the readings, one time after another, never two at once. */
    async work(): Promise<void> {
        if (this.isBehind) {
            this.#again = true;
            return;
        }
        this.isBehind = true;
        try {
            do {
                this.#again = false;
                const job = this.id;
                const solved = await call('solve', { job }).catch(() => null);
                const doubts = await call('doubts', { job });
                if (job !== this.id) continue;
                this.solved = solved;
                this.doubts = doubts;
            } while (this.#again);
        } catch (cause) {
            notices.refused(cause);
        } finally {
            this.isBehind = false;
        }
    }

    /** Logs a reading. When it answers, the reading is on the disk. */
    async log(reading: LogReading, by: string | null): Promise<Logged> {
        const logged = await call('log-reading', { job: this.id, by, reading });
        void this.refresh().catch((cause) => notices.refused(cause));
        return logged;
    }

    /** Does something to the job. */
    async act(act: Act): Promise<Acted> {
        const acted = await call('act', { job: this.id, act });
        await this.refresh();
        return acted;
    }

    async undo(): Promise<Undone> {
        const undone = await call('undo', { job: this.id });
        await this.refresh();
        return undone;
    }

    async redo(): Promise<Undone> {
        const undone = await call('redo', { job: this.id });
        await this.refresh();
        return undone;
    }

    reading(name: string): ReadingLine | undefined {
        return this.#named.get(name);
    }
}

export const job = new JobState();

/** Does something and tells why, where it is refused. Gives whether it was done. */
export async function attempt(work: () => Promise<unknown>): Promise<boolean> {
    try {
        await work();
        return true;
    } catch (cause) {
        notices.refused(cause);
        return false;
    }
}
