// The sheet that is printed and entered: its rows, what is typed beside them, and what was logged.

import { SvelteMap } from 'svelte/reactivity';

import { Refused } from '../../backend';
import type { Compared, OrderWire } from '../../gen/wire';
import { isKind, quantityOf } from '../../numbers/kinds';
import { device } from '../../state/device.svelte';
import { draft, type SheetDraft } from '../../state/draft.svelte';
import { job } from '../../state/job.svelte';
import { notices, sentence } from '../../state/notices.svelte';
import { w } from '../../words';

/** What became of a row in this sitting. */
export type RowAnswer =
    | { is: 'logging' }
    | { is: 'refused'; why: string }
    | { is: 'logged'; compared: Compared | null }
    | { is: 'corrected' };

/** A text with the sheet's unit behind it, where it names none and the job's is another. */
export function withUnit(text: string, kind: string, unit: string, jobUnit: string | null): string {
    const isBare = /^[\d\s.,/+−-]+$/.test(text);
    const isLength = !isKind(kind) || quantityOf(kind) === 'length';
    return isBare && isLength && unit !== jobUnit ? `${text.trim()} ${unit}` : text.trim();
}

class SheetState {
    answers = new SvelteMap<number, RowAnswer>();
    #job = '';
    #queue: Promise<void> = Promise.resolve();

    get now(): SheetDraft | null {
        return draft.now.sheet ?? null;
    }

    /** Rows that are typed and not logged as they stand. */
    get waiting(): number[] {
        const sheet = this.now;
        if (!sheet) return [];
        return sheet.rows.map((_, row) => row).filter((row) => this.isWaiting(row));
    }

    /** Reads the sheet of the open job. */
    async load(): Promise<void> {
        if (this.#job !== job.id) this.answers.clear();
        this.#job = job.id;
        await draft.load(job.id);
    }

    /** Begins a sheet with the rows of an order. */
    begin(order: OrderWire): void {
        this.answers.clear();
        this.#keep({
            made: new Date().toISOString(),
            unit: job.unit,
            by: this.now?.by ?? device.now.person ?? '',
            stand: this.now?.stand ?? '',
            instrument: this.now?.instrument ?? '',
            rows: order.steps.map((step) => [step.kind, step.a, step.b]),
            values: {},
            logged: {},
            sent: {},
        });
    }

    /** Puts the sheet away. */
    end(): void {
        this.answers.clear();
        draft.keep({ sheet: undefined });
    }

    set(change: Partial<SheetDraft>): void {
        if (this.now) this.#keep({ ...this.now, ...change });
    }

    /** What is typed beside a row. */
    type(row: number, value: string): void {
        if (!this.now) return;
        this.set({ values: { ...this.now.values, [row]: value } });
        if (this.answers.get(row)?.is === 'refused') this.answers.delete(row);
    }

    addRow(kind: string, points: string[]): void {
        if (this.now) this.set({ rows: [...this.now.rows, [kind, ...points]] });
    }

    /** Whether something stands beside the row that the log has not, or has otherwise. */
    isWaiting(row: number): boolean {
        const value = this.now?.values[row]?.trim() ?? '';
        if (value === '' || this.answers.get(row)?.is === 'logging') return false;
        const name = this.now?.logged[row];
        if (name === undefined) return true;
        return this.answers.get(row)?.is !== 'refused' && this.now?.sent[row] !== this.#text(row);
    }

    /** Logs a row, or corrects what it was logged as. Rows go to the log one after the other. */
    log(row: number): Promise<void> {
        if (!this.isWaiting(row)) return this.#queue;
        this.answers.set(row, { is: 'logging' });
        this.#queue = this.#queue.then(() => this.#logged(row));
        return this.#queue;
    }

    async #logged(row: number): Promise<void> {
        const sheet = this.now;
        const [kind = '', ...points] = sheet?.rows[row] ?? [];
        if (!sheet) return;
        const value = this.#text(row);
        const name = sheet.logged[row];
        try {
            if (name !== undefined) {
                await job.act({ do: 'correct-reading', reading: name, why: w.start.entry.correctedWhy, value });
                this.#sent(row, name, value);
                this.answers.set(row, { is: 'corrected' });
                return;
            }
            const { instrument, stand, by } = sheet;
            const logged = await job.log({ kind, points, value, instrument, stand }, by === '' ? null : by);
            this.#sent(row, logged.name, value);
            this.answers.set(row, { is: 'logged', compared: logged.compared });
        } catch (cause) {
            if (!(cause instanceof Refused)) throw cause;
            const told = cause.problems.map((problem) => problem.reason).filter(Boolean);
            this.answers.set(row, { is: 'refused', why: told.length > 0 ? told.map(sentence).join(' ') : sentence(cause.message) });
            if (cause.code === 'no-desk') notices.refused(cause);
        }
    }

    #sent(row: number, name: string, text: string): void {
        if (!this.now) return;
        const { logged, sent } = this.now;
        this.set({ logged: { ...logged, [row]: name }, sent: { ...sent, [row]: text } });
    }

    #text(row: number): string {
        const sheet = this.now;
        return withUnit(sheet?.values[row] ?? '', sheet?.rows[row]?.[0] ?? '', sheet?.unit ?? '', job.shown?.unit ?? null);
    }

    #keep(sheet: SheetDraft): void {
        draft.keep({ sheet });
    }
}

export const sheet = new SheetState();
