// The photos of the open job, and pictures on their way into it.

import { backend, call, Refused } from '../backend';
import type { JobShown, PhotoLine } from '../gen/wire';
import { w } from '../words';
import { job } from './job.svelte';
import { notices, sentence } from './notices.svelte';

/** What a photo is taken of; nothing in particular where both are left out. */
export interface TakenOf {
    point?: string;
    reading?: string;
}

/** A picture on its way into the job, or one that was not taken, kept until somebody has read why. */
export interface Incoming {
    id: number;
    /** The job that it goes into, whichever is open meanwhile. */
    job: string;
    file: File;
    of: TakenOf;
    /** Shows it while it is on its way. */
    address: string;
    /** In words; nothing while it is on its way. */
    refused: string | null;
    /** Whether the same file may be taken at another try. */
    mayTryAgain: boolean;
    /** Whether it has been on its way for so long that it is told. */
    isTold: boolean;
}

/** Shorter work is not worth reading about. */
const TOLD_AFTER_MS = 300;

/** The most that the desk takes, in bytes. What is larger is not even sent. */
const MOST_BYTES = 48 << 20;

/** Reasons that lie in the picture itself: another try gives the same. */
const OF_THE_PICTURE: readonly string[] = ['bad-photo', 'too-large', 'not-there', 'which-job'];

class PhotosState {
    /** Of the open job, in the order in which they were added, removed ones too. */
    all = $state.raw<PhotoLine[]>([]);
    /** Whether `all` is of the open job yet. */
    isKnown = $state(false);
    incoming = $state.raw<Incoming[]>([]);
    #named = $derived(new Map(this.all.map((photo) => [photo.id, photo])));

    #of: JobShown | null = null;
    #made = 0;
    #isTaking = false;

    get(id: string): PhotoLine | undefined {
        return this.#named.get(id);
    }

    /** Reads the photos of the job as it is shown now; again only where the job changed. */
    async load(): Promise<void> {
        const of = job.shown;
        if (of === this.#of) return;
        if (of?.id !== this.#of?.id) {
            this.all = [];
            this.isKnown = false;
        }
        this.#of = of;
        if (!of) return;
        try {
            const all = await call('photos', { job: of.id });
            if (this.#of !== of) return;
            this.all = all;
            this.isKnown = true;
        } catch (cause) {
            if (this.#of === of) this.#of = null;
            notices.refused(cause);
        }
    }

    /** Takes files in, one after the other. They go on where the screen is left. */
    take(files: readonly File[], of: TakenOf): void {
        const added = files.map((file) => this.#arriving(file, of));
        this.incoming = [...this.incoming, ...added];
        void this.#takeIn();
    }

    again({ id, file, of }: Incoming): void {
        this.dismiss(id);
        this.take([file], of);
    }

    /** Puts away a picture and what was said of it. */
    dismiss(id: number): void {
        for (const one of this.incoming) if (one.id === id) URL.revokeObjectURL(one.address);
        this.incoming = this.incoming.filter((one) => one.id !== id);
    }

    #arriving(file: File, of: TakenOf): Incoming {
        this.#made += 1;
        const address = URL.createObjectURL(file);
        const refused = file.size > MOST_BYTES ? sentence(w.photos.tooLarge(file.size, MOST_BYTES)) : null;
        return { id: this.#made, job: job.id, file, of, address, refused, mayTryAgain: false, isTold: false };
    }

    /** One at a time: a photo takes much memory while it is unpacked. */
    async #takeIn(): Promise<void> {
        if (this.#isTaking) return;
        this.#isTaking = true;
        try {
            for (let next = this.#next(); next; next = this.#next()) await this.#takeOne(next);
        } finally {
            this.#isTaking = false;
        }
    }

    #next(): Incoming | undefined {
        return this.incoming.find((one) => one.refused === null);
    }

    async #takeOne({ id, job: into, file, of }: Incoming): Promise<void> {
        const timer = setTimeout(() => this.#said(id, { isTold: true }), TOLD_AFTER_MS);
        try {
            const bytes = new Uint8Array(await file.arrayBuffer());
            const photo = { file: file.name, point: of.point ?? null, reading: of.reading ?? null };
            const { already } = (await backend.reply('add-photo', { job: into, photo }, { bytes })).answer;
            if (job.id === into) await job.refresh();
            await this.load();
            this.dismiss(id);
            if (already) notices.show({ tone: 'done', phrase: [w.photos.already(file.name || w.photos.unnamed)], problems: [] });
        } catch (cause) {
            const message = cause instanceof Error ? cause.message : String(cause);
            const mayTryAgain = !(cause instanceof Refused && OF_THE_PICTURE.includes(cause.code));
            this.#said(id, { refused: sentence(message), mayTryAgain });
        } finally {
            clearTimeout(timer);
        }
    }

    #said(id: number, change: Partial<Incoming>): void {
        this.incoming = this.incoming.map((one) => (one.id === id ? { ...one, ...change } : one));
    }
}

export const photos = new PhotosState();

/** Reads the photos whenever the job changes, for as long as the component that asks for it is shown. */
export function followPhotos(): void {
    $effect(() => {
        void job.shown;
        void photos.load();
    });
}
