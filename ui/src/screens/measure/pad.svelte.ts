// What is on the pad, and what its keys do. The screen shows it; the desk reads the text and logs it.

import { call, Refused } from '../../backend';
import type { Logged, LogReading, Typed as Understood } from '../../gen/wire';
import { isKind, type Kind, pointsOf, quantityOf, takesOffset } from '../../numbers/kinds';
import * as typing from '../../numbers/typing';
import { device } from '../../state/device.svelte';
import { draft, type PadDraft } from '../../state/draft.svelte';
import { job } from '../../state/job.svelte';
import { notices } from '../../state/notices.svelte';
import { signal } from '../../state/signal';

/** A reading that was logged, and what was logged. */
export interface Answered {
    logged: Logged;
    kind: Kind;
    points: string[];
    typed: typing.Typed | null;
    value: string;
    /** What the number itself says, before offsets; mm or degrees. */
    read: number | null;
    instrument: string;
    from: string;
    add: string;
}

/** A reading that is to be taken. */
export interface Asked {
    kind?: string;
    points?: string[];
    /** The reading that is read again. */
    again?: string;
    /** Further ones to be read again after it. */
    then?: string[];
    blind?: boolean;
    by?: string;
}

export type Missing = { what: 'point'; end: number } | { what: 'value' } | { what: 'unread'; reason: string };

class Pad {
    kind = $state<Kind>('tape');
    points = $state<string[]>(['', '']);
    typed = $state.raw<typing.Typed>(typing.nothingTyped('mm'));
    free = $state<string | null>(null);
    instrument = $state('');
    from = $state('hook');
    offset = $state('burn-1in');
    add = $state('');
    again = $state('');
    /** Further readings of a group that are to be read again after this one. */
    then = $state<string[]>([]);
    blind = $state(false);
    by = $state('');

    /** What the desk takes the text for. */
    understood = $state.raw<Understood | null>(null);
    /** The answer to the reading that was logged last, until the next one begins. */
    answered = $state.raw<Answered | null>(null);
    missing = $state.raw<Missing | null>(null);
    isLogging = $state(false);

    #asked = 0;
    #understanding: Promise<void> | null = null;

    /** The text that is logged: as the keys stand, or as it was written where they cannot show it. */
    text = $derived(this.free !== null && typing.isEmpty(this.typed) ? this.free : typing.textOf(this.typed));
    quantity = $derived(quantityOf(this.kind));
    /** The unit of bare digits. */
    unit = $derived<typing.PadUnit>(this.quantity === 'angle' ? 'deg' : this.typed.unit);
    isOffset = $derived(takesOffset(this.kind) && this.from !== 'hook');
    isEmpty = $derived(this.text.trim() === '');
    /** Whether the answer asks to be looked at before anything else is typed. */
    asksToLook = $derived(
        this.answered?.logged.compared?.verdict === 'off' || this.answered?.logged.compared?.verdict === 'look-again',
    );

    /** Begins with what was on the pad when it was left. */
    begin(kept: PadDraft | undefined): void {
        this.answered = null;
        this.missing = null;
        const kind = kept && isKind(kept.kind) ? kept.kind : 'tape';
        this.kind = kind;
        this.points = sized(kept?.points ?? [], kind);
        this.typed = kept?.typed ?? typing.nothingTyped(quantityOf(kind) === 'angle' ? 'deg' : job.unit);
        this.free = kept?.free ?? null;
        this.instrument = kept?.instrument ?? this.#usual(kind);
        this.from = kept?.from ?? 'hook';
        this.offset = kept?.offset ?? (job.unit === 'in' ? 'burn-1in' : 'burn-100mm');
        this.add = kept?.add ?? '';
        this.again = kept?.again ?? '';
        this.then = kept?.then ?? [];
        this.blind = kept?.blind ?? false;
        this.by = kept?.by ?? '';
        void this.#understand();
    }

    /** Takes up a reading that another room asks for. */
    take(asked: Asked): void {
        const kind = asked.kind && isKind(asked.kind) ? asked.kind : this.kind;
        const first = asked.again ? this.#earlier(asked.again) : undefined;
        this.kind = first?.kind ?? kind;
        this.points = sized(first?.points ?? asked.points ?? [], this.kind);
        this.again = asked.again ?? '';
        this.then = asked.then ?? [];
        this.blind = asked.blind ?? false;
        this.by = asked.by ?? '';
        this.instrument = first?.instrument ?? this.#usual(this.kind);
        this.from = first?.from || 'hook';
        this.add = first?.add ?? '';
        this.answered = null;
        this.clear();
    }

    pickKind(kind: Kind): void {
        this.kind = kind;
        this.then = [];
        this.points = sized(this.points, kind);
        this.instrument = this.#usual(kind);
        if (!takesOffset(kind)) this.from = 'hook';
        this.again = '';
        this.clear();
    }

    pickPoint(end: number, label: string): void {
        this.points = this.points.map((known, index) => (index === end ? label : known));
        this.missing = null;
        // Another line is another reading.
        this.again = '';
        this.blind = false;
        this.answered = null;
        this.#keep();
    }

    swap(): void {
        const [a = '', b = '', ...rest] = this.points;
        if (this.kind === 'corner') {
            const [c = ''] = rest;
            this.points = [c, b, a];
        } else this.points = [b, a, ...rest];
        this.#keep();
    }

    /** A key of the pad. */
    key(change: (typed: typing.Typed) => typing.Typed): void {
        signal.key();
        this.#beginsAnew();
        this.typed = change(this.free === null ? this.typed : (typing.typedOf(this.free, this.unit) ?? this.#blank()));
        this.free = null;
        this.#changed();
    }

    /** A letter of a keyboard. */
    letter(letter: string): void {
        this.#beginsAnew();
        const before = this.free ?? (typing.isEmpty(this.typed) ? '' : plainOf(this.typed));
        this.#written(before + letter);
    }

    backspace(): void {
        if (this.free === null) return this.key(typing.erase);
        this.#written(this.free.slice(0, -1));
    }

    clear(): void {
        this.typed = this.#blank();
        this.free = null;
        this.#changed();
    }

    unitKey(unit: typing.PadUnit): void {
        this.key((typed) => typing.inUnit(typed, unit));
    }

    signKey(): void {
        this.key((typed) => ({ ...typed, negative: !typed.negative }));
    }

    toggleOffset(): void {
        signal.key();
        this.from = this.from === 'hook' ? this.offset : 'hook';
        this.#changed();
    }

    setHow(how: { instrument?: string; from?: string; add?: string }): void {
        if (how.instrument !== undefined) this.instrument = how.instrument;
        if (how.add !== undefined) this.add = how.add;
        if (how.from !== undefined) {
            this.from = how.from;
            if (how.from !== 'hook') this.offset = how.from;
        }
        this.#changed();
    }

    /** Logs what stands there, or tells what is missing. Gives whether it was logged. */
    async log(): Promise<boolean> {
        if (this.isLogging) return false;
        this.isLogging = true;
        // A quick hand is ahead of what was said of an earlier key.
        await this.#understanding;
        this.missing = this.#whatIsMissing();
        if (this.missing) {
            this.isLogging = false;
            return false;
        }
        const read = this.understood?.read ?? null;
        const reading: LogReading = {
            kind: this.kind,
            points: [...this.points],
            value: this.text,
            instrument: this.instrument,
            from: takesOffset(this.kind) && this.from !== 'hook' ? this.from : '',
            add: this.add,
            again: this.again,
        };
        try {
            const logged = await job.log(reading, this.by === '' ? null : this.by);
            signal.logged();
            this.answered = {
                logged,
                kind: this.kind,
                points: reading.points ?? [],
                typed: this.free === null ? this.typed : null,
                value: this.text,
                read,
                instrument: this.instrument,
                from: reading.from ?? '',
                add: this.add,
            };
            if (this.asksToLook) signal.off();
            else signal.fits();
            this.again = '';
            this.blind = false;
            this.by = '';
            // The hook often stays where it is.
            if (!this.asksToLook) this.points = this.points.map((label, index) => (index === 0 ? label : ''));
            this.clear();
            return true;
        } catch (cause) {
            if (!(cause instanceof Refused) || cause.code !== 'unusable') throw cause;
            this.missing = { what: 'unread', reason: cause.problems[0]?.reason ?? cause.message };
            return false;
        } finally {
            this.isLogging = false;
        }
    }

    /** Puts the answer away and goes on from the same first mark. */
    goOn(): void {
        if (this.asksToLook) this.points = this.points.map((label, index) => (index === 0 ? label : ''));
        this.answered = null;
        this.#keep();
    }

    /** A reading that is in the log: the one that was logged just now may not be shown yet. */
    #earlier(name: string): Pick<Answered, 'kind' | 'points' | 'instrument' | 'from' | 'add'> | undefined {
        if (this.answered?.logged.name === name) return this.answered;
        const reading = job.reading(name);
        return reading && isKind(reading.kind) ? { ...reading, kind: reading.kind } : undefined;
    }

    #whatIsMissing(): Missing | null {
        const end = this.points.findIndex((label) => label.trim() === '');
        if (end >= 0) return { what: 'point', end };
        if (this.isEmpty) return { what: 'value' };
        const problem = this.understood?.problem;
        return problem ? { what: 'unread', reason: problem.reason } : null;
    }

    #beginsAnew(): void {
        this.missing = null;
        if (this.answered) this.answered = null;
        if (notices.shown?.tone === 'done') notices.clear();
    }

    #written(text: string): void {
        const typed = typing.typedOf(text, this.unit);
        this.free = text === '' ? null : text;
        this.typed = typed ?? this.#blank();
        this.#changed();
    }

    #changed(): void {
        this.#understanding = this.#understand();
        this.#keep();
    }

    async #understand(): Promise<void> {
        this.#asked += 1;
        const asked = this.#asked;
        if (this.isEmpty) {
            this.understood = null;
            return;
        }
        const reading = {
            kind: this.kind,
            points: [...this.points],
            value: this.text,
            instrument: this.instrument,
            from: this.isOffset ? this.from : '',
            add: this.add,
        };
        const understood = await call('typed', { job: job.id, reading }).catch(() => null);
        // An answer to an earlier key says nothing of what stands there now.
        if (asked === this.#asked) this.understood = understood;
    }

    #keep(): void {
        if (job.id === '') return;
        const { kind, points, typed, free, instrument, from, offset, add, again, then, blind, by } = this;
        draft.keep({ pad: { kind, points, typed, free, instrument, from, offset, add, again, then, blind, by } });
    }

    #blank(): typing.Typed {
        const unit = this.quantity === 'angle' ? 'deg' : this.typed.unit === 'deg' ? job.unit : this.typed.unit;
        return typing.nothingTyped(unit);
    }

    /** The instrument that a kind was read with last. */
    #usual(kind: Kind): string {
        const readings = job.shown?.readings ?? [];
        for (let index = readings.length - 1; index >= 0; index -= 1) {
            const reading = readings[index];
            if (reading && reading.kind === kind && reading.by === (device.now.person ?? '')) return reading.instrument;
        }
        return '';
    }
}

function plainOf(typed: typing.Typed): string {
    const minus = typed.negative ? '-' : '';
    const feet = typed.feet === '' ? '' : `${typed.feet}' `;
    const marks = typed.marks ? ` ${typed.marks.over}/${typed.marks.under}` : '';
    return `${minus}${feet}${typed.figure}${marks}`;
}

function sized(points: readonly string[], kind: Kind): string[] {
    return Array.from({ length: pointsOf(kind) }, (_, index) => points[index] ?? '');
}

export const pad = new Pad();
