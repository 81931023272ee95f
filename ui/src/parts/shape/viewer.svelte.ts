// What a drawing of the shell is looked at with: the view, and how it was turned, moved and enlarged.

import { type Camera, fitted, type Frame, panned, turned, type View, VIEWS, zoomed } from './camera';
import { easedOut, onTheWay, TURNS_IN_MS } from './turning';
import type { Vec } from './vector';
import { NOTHING_WRITTEN, type Written } from './written';

const TURN_STEP = 24;
const PAN_STEP = 60;
const ZOOM_STEP = 1.25;
const RESTS_AFTER_MS = 160;
/** More points than this are not turned from view to view: flat views draw each as an element of the page. */
const MOST_TO_TURN = 400;

export class Viewer {
    view = $state<View>('space');
    frame = $state.raw<Frame>({ width: 0, height: 0 });
    /** What must be seen as long as nobody moved the drawing. */
    places = $state.raw<readonly Vec[]>([]);
    /** The views that somebody moved. */
    #moved = $state.raw<Partial<Record<View, Camera>>>({});

    #rest = $derived<Camera>(this.#moved[this.view] ?? fitted(this.view, this.places, this.frame, roomOf(this.frame)));
    /** The view that it comes from, and how much of the way is done. */
    #way = $state.raw<{ from: Camera; part: number } | null>(null);
    camera = $derived<Camera>(this.#way ? onTheWay(this.#way.from, this.#rest, this.#way.part) : this.#rest);
    isMoved = $derived(this.#moved[this.view] !== undefined);

    /** Whether this device cannot draw the view in space. */
    isFlatOnly = $state(false);

    /** What is written on it just now. */
    written = $state.raw<Written>(NOTHING_WRITTEN);

    /** Whether it is being moved just now: then names only follow, and none comes or goes. */
    isMoving = $state(false);
    #resting: ReturnType<typeof setTimeout> | undefined;

    constructor(view: View = 'space') {
        this.view = view;
    }

    /** Goes to a view that the device can draw, turning there. */
    look(view: View): void {
        const from = this.camera;
        this.view = view === 'space' && this.isFlatOnly ? 'plan' : view;
        const isStill = this.frame.width === 0 || this.places.length > MOST_TO_TURN || matchMedia('(prefers-reduced-motion: reduce)').matches;
        if (from.view !== this.view && !isStill) this.#turnFrom(from);
    }

    #turnFrom(from: Camera): void {
        this.#way = { from, part: 0 };
        this.#stir(TURNS_IN_MS);
        const start = performance.now();
        const step = (now: number): void => {
            // Another way was begun since, or a hand took the drawing.
            if (this.#way?.from !== from) return;
            const part = (now - start) / TURNS_IN_MS;
            this.#way = part < 1 ? { from, part: easedOut(Math.max(0, part)) } : null;
            requestAnimationFrame(step);
        };
        requestAnimationFrame(step);
    }

    /** The whole of it again, as at first. */
    centre(): void {
        const { [this.view]: _, ...others } = this.#moved;
        this.#moved = others;
    }

    /** The device draws no view in space: the plan is shown, and that is said. */
    cannotTurn(): void {
        this.isFlatOnly = true;
        this.#way = null;
        if (this.view === 'space') this.view = 'plan';
    }

    turn(dx: number, dy: number): void {
        this.#move((camera) => (this.view === 'space' ? turned(camera, dx, dy) : panned(camera, dx, dy)));
    }

    pan(dx: number, dy: number): void {
        this.#move((camera) => panned(camera, dx, dy));
    }

    zoom(by: number, at = { x: this.frame.width / 2, y: this.frame.height / 2 }): void {
        this.#move((camera) => zoomed(camera, by, at, this.frame));
    }

    /** Brings a place into the middle, where it would lie outside. */
    show(x: number, y: number): void {
        const { width, height } = this.frame;
        const isIn = x > 30 && y > 60 && x < width - 30 && y < height - 60;
        if (!isIn) this.pan(width / 2 - x, height / 2 - y);
    }

    /** What a key does; whether it did anything. */
    key(event: KeyboardEvent): boolean {
        if (event.ctrlKey || event.metaKey || event.altKey) return false;
        const way: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
        const arrow = way[event.key];
        const view = VIEWS[Number(event.key) - 1];
        if (arrow) {
            if (event.shiftKey || this.view !== 'space') this.pan(-arrow[0] * PAN_STEP, -arrow[1] * PAN_STEP);
            else this.turn(arrow[0] * TURN_STEP, arrow[1] * TURN_STEP);
        } else if (event.key === '+' || event.key === '=') this.zoom(ZOOM_STEP);
        else if (event.key === '-') this.zoom(1 / ZOOM_STEP);
        else if (event.key === 'Home') this.centre();
        else if (view) this.look(view);
        else return false;
        return true;
    }

    #move(change: (camera: Camera) => Camera): void {
        this.#way = null;
        this.#moved = { ...this.#moved, [this.view]: change(this.#rest) };
        this.#stir(RESTS_AFTER_MS);
    }

    /** It is moved for so long. */
    #stir(ms: number): void {
        this.isMoving = true;
        clearTimeout(this.#resting);
        this.#resting = setTimeout(() => (this.isMoving = false), ms);
    }
}

/** Call-outs stand along the head and the foot. */
function roomOf({ width, height }: Frame): { top: number; side: number; bottom: number } {
    if (height < 300) return { top: 56, side: 24, bottom: 24 };
    return height < 420 ? { top: 66, side: 26, bottom: 62 } : { top: 88, side: width < 500 ? 26 : 48, bottom: 66 };
}
