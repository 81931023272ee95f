// What fingers, a mouse and a wheel do on a drawing: one turns it, or moves a flat one, two move and enlarge it, a touch picks.

import type { Viewer } from './viewer.svelte';

/** A touch that moved less is no drag; a finger is broader than a pointer. */
const STILL = { mouse: 4, touch: 10 } as const;

interface Held {
    x: number;
    y: number;
}

export interface Gestures {
    destroy: () => void;
}

/** Listens on an element. `onpick` is told where it was touched, in px of the element. */
export function gestures(element: HTMLElement, { viewer, onpick }: { viewer: Viewer; onpick: (x: number, y: number) => void }): Gestures {
    const held = new Map<number, Held>();
    let began: Held | null = null;
    let isDrag = false;

    const at = (event: PointerEvent | WheelEvent): Held => {
        const { left, top } = element.getBoundingClientRect();
        return { x: event.clientX - left, y: event.clientY - top };
    };

    function down(event: PointerEvent): void {
        // Buttons on the drawing answer for themselves.
        if ((event.target as HTMLElement).closest('button')) return;
        held.set(event.pointerId, at(event));
        isDrag = held.size > 1;
        began = held.size === 1 ? at(event) : null;
        element.setPointerCapture(event.pointerId);
    }

    function move(event: PointerEvent): void {
        const before = held.get(event.pointerId);
        if (!before) return;
        const now = at(event);
        const still = event.pointerType === 'mouse' ? STILL.mouse : STILL.touch;
        if (!isDrag && began && Math.hypot(now.x - began.x, now.y - began.y) < still) return;
        isDrag = true;
        const [dx, dy] = [now.x - before.x, now.y - before.y];
        if (held.size === 1) {
            if (event.shiftKey || (event.buttons & 6) !== 0) viewer.pan(dx, dy);
            else viewer.turn(dx, dy);
        } else if (held.size === 2) {
            const other = [...held].find(([id]) => id !== event.pointerId)![1];
            const apartBefore = Math.hypot(before.x - other.x, before.y - other.y);
            const apartNow = Math.hypot(now.x - other.x, now.y - other.y);
            viewer.pan(dx / 2, dy / 2);
            if (apartBefore > 8 && apartNow > 8) viewer.zoom(apartNow / apartBefore, { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 });
        }
        held.set(event.pointerId, now);
    }

    function up(event: PointerEvent): void {
        const was = held.delete(event.pointerId);
        if (was && !isDrag && event.type === 'pointerup') {
            const { x, y } = at(event);
            onpick(x, y);
        }
        if (held.size === 0) isDrag = false;
    }

    function wheel(event: WheelEvent): void {
        event.preventDefault();
        // Lines where a mouse counts in them; a pinch of a touchpad comes with Ctrl and in small steps.
        const px = event.deltaY * (event.deltaMode === 1 ? 18 : 1);
        viewer.zoom(Math.exp(-px * (event.ctrlKey ? 0.01 : 0.0015)), at(event));
    }

    const menu = (event: Event): void => event.preventDefault();
    const listeners = { pointerdown: down, pointermove: move, pointerup: up, pointercancel: up, contextmenu: menu } as const;
    for (const [name, listener] of Object.entries(listeners)) element.addEventListener(name, listener as EventListener);
    element.addEventListener('wheel', wheel, { passive: false });
    return {
        destroy(): void {
            for (const [name, listener] of Object.entries(listeners)) element.removeEventListener(name, listener as EventListener);
            element.removeEventListener('wheel', wheel);
        },
    };
}
