// What the crew must be told wherever they are: refusals, and what was done with a way back.

import { Refused } from '../backend';
import { w } from '../words';
import type { Phrase } from '../words/phrase';

export interface Notice {
    tone: 'refused' | 'done';
    /** Over it, where it was refused. */
    head?: string;
    phrase: Phrase;
    /** The problems of a refusal, each with its place. */
    problems: string[];
    /** One way on, such as Undo. */
    action?: { word: string; act: () => void };
}

class Notices {
    shown = $state.raw<Notice | null>(null);

    show(notice: Notice): void {
        this.shown = notice;
    }

    clear(): void {
        this.shown = null;
    }

    /** Tells why something was not done. What is no refusal is a fault of ours, and is told all the same. */
    refused(cause: unknown): void {
        const problems = cause instanceof Refused ? cause.problems.map((problem) => problem.reason) : [];
        const message = cause instanceof Error ? cause.message : String(cause);
        const head = cause instanceof Refused ? w.refusals.heads[cause.code] : undefined;
        // One problem is the message itself.
        this.show({ tone: 'refused', head, phrase: [sentence(message)], problems: problems.length > 1 ? problems : [] });
    }
}

/** A message of the desk as a sentence: a capital first, a full stop last. */
export function sentence(message: string): string {
    const text = message.trim();
    const ended = /[.!?]$/.test(text) ? text : `${text}.`;
    return ended.charAt(0).toUpperCase() + ended.slice(1);
}

export const notices = new Notices();
