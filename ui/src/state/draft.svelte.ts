// What is typed and not logged yet. The desk keeps it, so that a closed window loses nothing.

import { backend, call } from '../backend';
import type { NewPoint } from '../gen/wire';
import type { Typed } from '../numbers/typing';
import { notices } from './notices.svelte';

/** What stands on the pad of Measure. */
export interface PadDraft {
    kind: string;
    points: string[];
    typed: Typed | null;
    /** A text that was typed on a keyboard and that the pad cannot show as keys. */
    free: string | null;
    instrument: string;
    from: string;
    /** The offset that the toggle on the pad switches on. */
    offset: string;
    add: string;
    again: string;
    then: string[];
    blind: boolean;
    by: string;
}

/** A sheet that is being entered. What is typed and logged goes by the number of the row, from 0. */
export interface SheetDraft {
    /** When the sheet was made, in UTC. */
    made: string;
    /** What a number without a unit is taken for. */
    unit: 'in' | 'mm';
    by: string;
    stand: string;
    instrument: string;
    /** Kind and points of each row. */
    rows: string[][];
    values: Record<string, string>;
    /** Names of the readings that rows became. */
    logged: Record<string, string>;
    /** The text that a row was logged with: the log writes it down in its own way. */
    sent: Record<string, string>;
}

/** What was changed on the starting list before its points are added. */
export interface ListDraft {
    doors: 2 | 4;
    /** Labels that were left out, as the list has them. */
    out: Record<string, true>;
    /** Other names, by the label of the list. */
    names: Record<string, string>;
    /** Points that the crew adds to the list; texts as typed. */
    own: NewPoint[];
}

export interface Draft {
    pad?: PadDraft;
    sheet?: SheetDraft;
    list?: ListDraft;
}

class DraftState {
    now = $state.raw<Draft>({});
    #job = '';
    #loading: Promise<void> = Promise.resolve();
    #isLoaded = false;
    /** What is to be written, by job: only the newest of each. */
    readonly #waiting = new Map<string, string>();
    #isWriting = false;

    /** Reads what was typed for a job. */
    load(job: string): Promise<void> {
        if (job !== this.#job) {
            this.#job = job;
            this.now = {};
            this.#isLoaded = false;
            this.#loading = this.#read(job);
        }
        return this.#loading;
    }

    async #read(job: string): Promise<void> {
        try {
            const text = await call('draft', { job });
            if (job !== this.#job) return;
            const meanwhile = this.now;
            this.now = { ...(text === null ? {} : parsed(text)), ...meanwhile };
            this.#isLoaded = true;
            if (Object.keys(meanwhile).length > 0) this.keep({});
        } catch (cause) {
            // It is asked for again by whoever needs it next; until then nothing is written over it.
            if (job === this.#job) this.#job = '';
            throw cause;
        }
    }

    /** Keeps a part of it, one write at a time. */
    keep(part: Draft): void {
        this.now = { ...this.now, ...part };
        if (!this.#isLoaded) return;
        this.#waiting.set(this.#job, JSON.stringify(this.now));
        void this.#write();
    }

    async #write(): Promise<void> {
        if (this.#isWriting) return;
        this.#isWriting = true;
        try {
            for (const [job, draft] of this.#waiting) {
                this.#waiting.delete(job);
                await backend.reply('keep-draft', { job, draft });
            }
        } catch (cause) {
            notices.refused(cause);
        } finally {
            this.#isWriting = false;
        }
    }
}

function parsed(text: string): Draft {
    try {
        const draft: unknown = JSON.parse(text);
        return typeof draft === 'object' && draft !== null ? (draft as Draft) : {};
    } catch {
        // Written by another version: what was typed is short, and a pad that does not open is worse.
        return {};
    }
}

export const draft = new DraftState();
