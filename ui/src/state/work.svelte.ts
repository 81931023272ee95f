// Work that takes a while: what it is doing is said in words after a moment, and it can be stopped.

import { backend, Refused, type Ask, type CommandName, type Reply, type WorkState } from '../backend';
import { notices } from './notices.svelte';

/** Shorter work is not worth reading about. */
const TOLD_AFTER_MS = 300;
/** How often it is asked how far it is. */
const ASKED_EVERY_MS = 400;

// Numbers of two pages of one start must not meet.
let newest = Math.floor(Math.random() * 2 ** 40);

/** One long work at a time. */
export class LongWork {
    isRunning = $state(false);
    /** Whether it has gone on for so long that it is told. */
    isTold = $state(false);
    /** Whether it was asked to stop and has not stopped yet. */
    isStopping = $state(false);
    /** How far it is, where the desk says so. */
    state = $state.raw<WorkState | null>(null);
    #number = 0;

    /** Runs a command as long work. Gives nothing where it was stopped; then nothing was changed. */
    async run<C extends CommandName>(name: C, ask: Ask<C>, bytes?: Uint8Array): Promise<Reply<C> | null> {
        const number = ++newest;
        this.#number = number;
        this.isRunning = true;
        this.isTold = this.isStopping = false;
        this.state = null;
        let timer = setTimeout(() => {
            this.isTold = true;
            void this.#watch(number, (next) => (timer = next));
        }, TOLD_AFTER_MS);
        try {
            return await backend.reply(name, ask, { work: number, ...(bytes ? { bytes } : {}) });
        } catch (cause) {
            if (cause instanceof Refused && cause.code === 'stopped') return null;
            throw cause;
        } finally {
            clearTimeout(timer);
            if (this.#number === number) {
                this.#number = 0;
                this.isRunning = this.isTold = false;
            }
        }
    }

    /** Asks it to stop. */
    stop(): void {
        if (this.#number === 0) return;
        this.isStopping = true;
        backend.stop(this.#number).catch((cause) => {
            this.isStopping = false;
            notices.refused(cause);
        });
    }

    async #watch(number: number, again: (timer: ReturnType<typeof setTimeout>) => void): Promise<void> {
        const state = await backend.work(number).catch(() => null);
        if (this.#number !== number) return;
        this.state = state;
        again(setTimeout(() => void this.#watch(number, again), ASKED_EVERY_MS));
    }
}
