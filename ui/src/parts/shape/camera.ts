// From where the shell is seen, and where its points come to lie on the screen. All views are parallel projections: what is
// as long lies as long, near or far, and the outline of an ellipsoid is an ellipse exactly.

import { boxOf, cross, dot, minus, plus, times, type Vec } from './vector';

export const VIEWS = ['space', 'plan', 'side', 'end'] as const;
export type View = (typeof VIEWS)[number];

export interface Camera {
    view: View;
    /** Of the view in space: where the eye stands round the shell, from ahead towards the left, in radians. */
    turn: number;
    /** How far above the floor the eye stands, in radians. */
    tilt: number;
    /** What lies in the middle of the drawing. */
    target: Vec;
    /** Screen px to a mm. */
    scale: number;
    /** The axes on the way from another view; else those of the view. */
    axes?: Axes;
}

/** The axes of the drawing in the job's frame. */
export interface Axes {
    right: Vec;
    up: Vec;
    /** Towards the eye. */
    near: Vec;
}

export interface Seen {
    x: number;
    y: number;
    /** Larger is nearer to the eye; mm. */
    depth: number;
}

export interface Frame {
    width: number;
    height: number;
}

/** Room that a fitted drawing leaves round itself, for call-outs and the arrow ahead. */
export interface Room {
    top: number;
    side: number;
    bottom: number;
}

const DEG = Math.PI / 180;
/** Before the left front, from above. */
const TURN = 50 * DEG;
const TILT = 27 * DEG;
const STEEPEST = 89.9 * DEG;

/** Flat views: from above with ahead to the right, from the right side, from behind. */
const FLAT: Record<Exclude<View, 'space'>, Axes> = {
    plan: { right: [1, 0, 0], up: [0, 1, 0], near: [0, 0, 1] },
    side: { right: [1, 0, 0], up: [0, 0, 1], near: [0, -1, 0] },
    end: { right: [0, -1, 0], up: [0, 0, 1], near: [-1, 0, 0] },
};

export function axesOf({ view, turn, tilt, axes }: Pick<Camera, 'view' | 'turn' | 'tilt' | 'axes'>): Axes {
    if (axes) return axes;
    if (view !== 'space') return FLAT[view];
    const near: Vec = [Math.cos(tilt) * Math.cos(turn), Math.cos(tilt) * Math.sin(turn), Math.sin(tilt)];
    const right: Vec = [-Math.sin(turn), Math.cos(turn), 0];
    return { right, up: cross(near, right), near };
}

/** A function that gives where a place lies on the screen, from the left and the top. */
export function eyeOf(camera: Camera, { width, height }: Frame): (place: Vec) => Seen {
    const { right, up, near } = axesOf(camera);
    const { target, scale } = camera;
    return (place) => {
        const from = minus(place, target);
        return { x: width / 2 + scale * dot(right, from), y: height / 2 - scale * dot(up, from), depth: dot(near, from) };
    };
}

/** A camera that has all places in its frame. */
export function fitted(view: View, places: readonly Vec[], frame: Frame, room: Room, from: { turn: number; tilt: number } = { turn: TURN, tilt: TILT }): Camera {
    const camera: Camera = { view, ...from, target: [0, 0, 0], scale: 1 };
    const { right, up, near } = axesOf(camera);
    const flat = boxOf(places.map((place) => [dot(right, place), dot(up, place), dot(near, place)]));
    if (!flat) return { ...camera, scale: 0.2 };
    const wide = Math.max(frame.width - 2 * room.side, 40) / Math.max(flat.high[0] - flat.low[0], 1);
    const high = Math.max(frame.height - room.top - room.bottom, 40) / Math.max(flat.high[1] - flat.low[1], 1);
    const scale = Math.min(wide, high);
    const centre = times(plus(flat.low, flat.high), 0.5);
    const lift = (room.top - room.bottom) / 2 / scale;
    const target = plus(plus(times(right, centre[0]), times(up, centre[1] + lift)), times(near, centre[2]));
    return { ...camera, target, scale };
}

/** Turned by so many px of a finger. Flat views do not turn. */
export function turned(camera: Camera, dx: number, dy: number): Camera {
    if (camera.view !== 'space') return camera;
    const per = 0.4 * DEG;
    const tilt = Math.max(-STEEPEST, Math.min(STEEPEST, camera.tilt + dy * per));
    return { ...camera, turn: camera.turn - dx * per, tilt };
}

/** Moved along with a finger. */
export function panned(camera: Camera, dx: number, dy: number): Camera {
    const { right, up } = axesOf(camera);
    const by = plus(times(right, -dx / camera.scale), times(up, dy / camera.scale));
    return { ...camera, target: plus(camera.target, by) };
}

const NEAREST = 40;
const FARTHEST = 0.002;

/** Larger by a factor, while what lies under a place of the screen stays there. */
export function zoomed(camera: Camera, by: number, at: { x: number; y: number }, { width, height }: Frame): Camera {
    const scale = Math.max(FARTHEST, Math.min(NEAREST, camera.scale * by));
    const dx = at.x - width / 2;
    const dy = at.y - height / 2;
    const moved = panned(camera, -dx, -dy);
    return panned({ ...moved, scale }, dx, dy);
}

/** How near points come to the eye, and how far: for lines that are heavier nearer. */
export function depths(camera: Camera, points: readonly { at: Vec }[]): { near: number; far: number } {
    const { near } = axesOf(camera);
    const reach = { near: -Infinity, far: Infinity };
    for (const { at } of points) {
        const depth = dot(near, minus(at, camera.target));
        reach.near = Math.max(reach.near, depth);
        reach.far = Math.min(reach.far, depth);
    }
    // The nearest fifth is as near as can be: one point that stands out does not make all else faint.
    return { ...reach, near: reach.far + 0.8 * (reach.near - reach.far) };
}

/** 0 for what lies farthest, 1 for what lies nearest. */
export function nearness(depth: number, { near, far }: { near: number; far: number }): number {
    return near - far < 1e-6 ? 1 : Math.max(0, Math.min(1, (depth - far) / (near - far)));
}
