// What fingers and a mouse do on a photo: push it, spread it, hold a place, drag the cross.

import type { Pixel } from './view';

/** A finger that moved less than this has not moved. */
const STILL_PX = 8;
const HELD_MS = 420;

/** What the photo is told. */
export interface Told {
    /** Whether one finger drags the cross instead of the photo. */
    dragsCross: () => boolean;
    push: (by: Pixel) => void;
    spread: (times: number, at: Pixel) => void;
    /** A finger lies still on a place; gives whether the cross is to begin there. */
    hold: (at: Pixel) => boolean;
    cross: (at: Pixel) => void;
    /** A second finger came: the cross goes back to where it was before the first one. */
    crossBack: () => void;
}

export class Touches {
    readonly #told: Told;
    /** Where each finger is now. */
    readonly #down = new Map<number, Pixel>();
    #began: Pixel = { x: 0, y: 0 };
    #timer = 0;
    #doing: 'nothing' | 'push' | 'cross' | 'spread' = 'nothing';

    /** Whether the last touch did something, so that the click that follows it is none. */
    didSomething = false;

    constructor(told: Told) {
        this.#told = told;
    }

    /** Whether the page must not scroll under the finger. */
    get isBusy(): boolean {
        return this.#doing !== 'nothing';
    }

    begin(finger: number, at: Pixel): void {
        this.#down.set(finger, at);
        clearTimeout(this.#timer);
        if (this.#down.size > 1) {
            if (this.#doing === 'cross') this.#told.crossBack();
            this.#doing = 'spread';
            this.didSomething = true;
            return;
        }
        this.#began = at;
        this.#doing = 'nothing';
        this.didSomething = false;
        if (this.#told.dragsCross()) this.#beginCross(at);
        else this.#timer = window.setTimeout(() => this.#held(), HELD_MS);
    }

    move(finger: number, at: Pixel): void {
        const before = this.#down.get(finger);
        if (!before) return;
        if (this.#doing === 'spread') return this.#spread(finger, before, at);
        this.#down.set(finger, at);
        if (this.#doing === 'cross') return this.#told.cross(at);
        if (this.#doing === 'nothing') {
            if (apart(this.#began, at) < STILL_PX) return;
            clearTimeout(this.#timer);
            this.#doing = 'push';
            this.didSomething = true;
            return this.#told.push(between(this.#began, at));
        }
        this.#told.push(between(before, at));
    }

    end(finger: number): void {
        clearTimeout(this.#timer);
        this.#down.delete(finger);
        // A finger that stays after a spread does nothing until it is lifted.
        if (this.#down.size === 0) this.#doing = 'nothing';
    }

    #held(): void {
        const [at] = this.#down.values();
        if (at && this.#told.hold(at)) this.#beginCross(at);
    }

    #beginCross(at: Pixel): void {
        this.#doing = 'cross';
        this.didSomething = true;
        this.#told.cross(at);
    }

    #spread(finger: number, before: Pixel, at: Pixel): void {
        const other = [...this.#down].find(([id]) => id !== finger)?.[1];
        this.#down.set(finger, at);
        if (!other) return;
        const middle = { x: (before.x + other.x) / 2, y: (before.y + other.y) / 2 };
        const now = { x: (at.x + other.x) / 2, y: (at.y + other.y) / 2 };
        this.#told.push(between(middle, now));
        // Fingers on one spot would spread it without end.
        this.#told.spread(Math.max(1, apart(at, other)) / Math.max(1, apart(before, other)), now);
    }
}

const apart = (a: Pixel, b: Pixel): number => Math.hypot(a.x - b.x, a.y - b.y);
const between = (a: Pixel, b: Pixel): Pixel => ({ x: b.x - a.x, y: b.y - a.y });
