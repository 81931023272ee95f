// What is drawn of a shell, and in which style: one list for the flat sheet and for the view in space.

import type { ShapeLine, ShapePoint, ShapeShown } from '../../gen/wire';
import { INCH_MM, type Unit } from '../../numbers/length';
import { type Face, facesOf } from './faces';
import { passes, type LineFilter, narrows } from './filter';
import { type Box, boxOf, cornersOf, cross, dot, minus, plus, size, times, unit, type Vec } from './vector';
import type { PrickName, StrokeName } from './styles';

/** More edges or points than this are not put in order with every turn. */
export const MOST_IN_ORDER = 900;

export interface Stroke {
    a: Vec;
    b: Vec;
    style: StrokeName;
    /** The reading that it is, for a touch. */
    reading?: string;
}

/** The mark of a point. */
export interface Prick {
    label: string;
    at: Vec;
    style: PrickName;
    /** Semi-axes of its 95 % ellipsoid, not magnified; none where it has none. */
    axes: readonly Vec[];
    isDoubted: boolean;
}

export interface Scene {
    /** Drawn first: the floor, the mid-plane, readings that fall back. */
    under: Stroke[];
    /** Edges for the eye, far ones first whatever the view. */
    outline: Stroke[];
    /** Faces between them: those that are seen from outside let what is behind them fall back. */
    faces: readonly Face[];
    /** Drawn over the edges: what is in doubt, what is picked. */
    over: Stroke[];
    pricks: Prick[];
    /** Where a flag is planted. */
    flags: { at: Vec; reading: string }[];
    box: Box | null;
    /** Longest semi-axes, mm, by which the magnification is chosen. */
    longest: number[];
    /** Side of a square of the floor, mm. */
    square: number;
}

/** What of it is drawn. */
export interface Shown {
    readings: boolean;
    ellipsoids: boolean;
    labels: boolean;
    pairs: boolean;
    plane: boolean;
    floor: boolean;
    doubts: boolean;
}
export const SHOWN_AT_FIRST: Shown = {
    readings: true,
    ellipsoids: true,
    labels: true,
    pairs: false,
    plane: false,
    floor: true,
    doubts: true,
};

export interface Picked {
    /** One point with its readings, or the two ends of a distance. */
    points: readonly string[];
    reading: string | null;
}
export const NOTHING_PICKED: Picked = { points: [], reading: null };

/** The states that a line is drawn heavily for. */
const IN_DOUBT: Partial<Record<ShapeLine['state'], StrokeName>> = {
    suspect: 'suspect',
    unclear: 'unclear',
    unchecked: 'unchecked',
    'look-again': 'look-again',
};

export function sceneOf(shape: ShapeShown, shown: Shown, filter: LineFilter, picked: Picked, jobUnit: Unit): Scene {
    const at = placesOf(shape);
    const box = boxOf([...at.values(), ...shape.points.flatMap(({ places }) => places ?? [])]);
    const square = jobUnit === 'in' ? 12 * INCH_MM : 250;
    const scene: Scene = {
        under: [],
        outline: [],
        faces: [],
        over: [],
        pricks: shape.points.flatMap((point) => prickOf(point, shown, picked)),
        flags: [],
        box,
        longest: shown.ellipsoids ? shape.points.flatMap(({ axes_95_mm }) => (axes_95_mm ? [size(axes_95_mm[0])] : [])) : [],
        square,
    };
    if (!box) return scene;
    if (shown.floor) scene.under.push(...floorOf(box, square));
    if (shown.plane && shape.plane) scene.under.push(...planeOf(shape.plane, box));
    if (shown.pairs) scene.under.push(...pairsOf(shape, at));
    scene.outline = shape.outline.flatMap(([a, b]) => between(at, a, b, 'outline'));
    // Where somebody asks for some readings, nothing is laid over them; nor where there is too much to put in order.
    if (!narrows(filter) && scene.outline.length <= MOST_IN_ORDER) scene.faces = facesOf(shape);
    linesInto(scene, shape, shown, filter, picked);
    for (const point of shape.points) scene.over.push(...openOf(point, box));
    const [a, b] = picked.points;
    if (a !== undefined && b !== undefined) {
        scene.over.push(...between(at, a, b, 'halo'), ...between(at, a, b, 'distance'));
    }
    return scene;
}

/** Where each point is drawn. */
export function placesOf(shape: ShapeShown): Map<string, Vec> {
    return new Map(shape.points.flatMap(({ label, place }) => (place ? [[label, place] as const] : [])));
}

function between(at: ReadonlyMap<string, Vec>, a: string, b: string, style: StrokeName): Stroke[] {
    const [from, to] = [at.get(a), at.get(b)];
    return from && to ? [{ a: from, b: to, style }] : [];
}

function prickOf(point: ShapePoint, shown: Shown, picked: Picked): Prick[] {
    if (!point.place) return [];
    const axes = shown.ellipsoids && point.status === 'fixed' && point.axes_95_mm ? point.axes_95_mm : [];
    const mark = { label: point.label, isDoubted: point.doubt !== null && point.doubt !== 'not-read' };
    const own: PrickName = picked.points.includes(point.label)
        ? 'picked'
        : point.is_rough || point.status === 'unsolved'
          ? 'rough'
          : point.status === 'loose'
            ? 'loose'
            : point.status === 'two-valued'
              ? 'two-places'
              : 'fixed';
    const pricks: Prick[] = [{ ...mark, at: point.place, style: own, axes }];
    if (point.places) pricks.push({ ...mark, at: point.places[1], style: 'other-place', axes: [] });
    return pricks;
}

/** What is open of a point: the ways along which it can move, its two places joined by dots. */
function openOf(point: ShapePoint, box: Box): Stroke[] {
    if (point.places) return [{ a: point.places[0], b: point.places[1], style: 'two-places' }];
    const { place } = point;
    if (!place || point.status !== 'loose') return [];
    const reach = size(minus(box.high, box.low)) / 22;
    return point.directions.map((way) => ({
        a: plus(place, times(way, -reach)),
        b: plus(place, times(way, reach)),
        style: 'loose',
    }));
}

function linesInto(scene: Scene, shape: ShapeShown, shown: Shown, filter: LineFilter, picked: Picked): void {
    const isNarrowed = narrows(filter);
    const [one] = picked.points;
    const ofPicked = new Set(picked.points.length === 1 && one !== undefined ? (shape.points.find(({ label }) => label === one)?.readings ?? []) : []);
    for (const line of shape.lines) {
        const isPicked = line.reading === picked.reading || ofPicked.has(line.reading);
        if (line.path.length < 2 || (!isPicked && !passes(line, filter))) continue;
        const doubt = shown.doubts || isPicked ? IN_DOUBT[line.state] : undefined;
        const isAside = line.state === 'set-aside' || line.state === 'unused';
        if (!isPicked && !doubt && !shown.readings && !isNarrowed) continue;
        // What was set aside is seen where somebody asks for it.
        if (isAside && !isPicked && !isNarrowed) continue;
        const style: StrokeName = doubt ?? (isAside ? 'aside' : isPicked ? 'picked' : isNarrowed ? 'plain' : 'faint');
        const into = style === 'faint' || style === 'plain' ? scene.under : scene.over;
        for (let index = 1; index < line.path.length; index += 1) {
            const ends = { a: line.path[index - 1]!, b: line.path[index]!, reading: line.reading };
            if (isPicked) scene.over.push({ ...ends, style: 'halo' });
            into.push({ ...ends, style });
        }
        if (doubt === 'suspect') scene.flags.push({ at: along(line.path[0]!, line.path[1]!), reading: line.reading });
    }
}

/** A little off the middle, where a flag hides less. */
export const along = (a: Vec, b: Vec): Vec => plus(a, times(minus(b, a), 0.42));

/** The floor under the shell: squares to the next line beyond its lowest point. */
export function floorOf({ low, high }: Box, square: number): Stroke[] {
    const z = low[2];
    const from = [0, 1].map((axis) => Math.floor(low[axis]! / square - 0.25) * square) as [number, number];
    const to = [0, 1].map((axis) => Math.ceil(high[axis]! / square + 0.25) * square) as [number, number];
    const strokes: Stroke[] = [];
    for (let x = from[0]; x <= to[0] + 1; x += square) strokes.push({ a: [x, from[1], z], b: [x, to[1], z], style: 'floor' });
    for (let y = from[1]; y <= to[1] + 1; y += square) strokes.push({ a: [from[0], y, z], b: [to[0], y, z], style: 'floor' });
    return strokes;
}

/** The mid-plane as far as the shell reaches: a frame. */
function planeOf({ point, normal }: NonNullable<ShapeShown['plane']>, box: Box): Stroke[] {
    const ahead = unit(minus([1, 0, 0], times(normal, normal[0])));
    const above = cross(ahead, normal);
    const flat = boxOf(cornersOf(box).map((corner) => [dot(minus(corner, point), ahead), dot(minus(corner, point), above), 0]))!;
    const edge = 0.04 * size(minus(box.high, box.low));
    const corner = (x: number, z: number): Vec => plus(point, plus(times(ahead, x), times(above, z)));
    const [x0, x1, z0, z1] = [flat.low[0] - edge, flat.high[0] + edge, flat.low[1] - edge, flat.high[1] + edge];
    const corners = [corner(x0, z0), corner(x1, z0), corner(x1, z1), corner(x0, z1)];
    return corners.map((a, index) => ({ a, b: corners[(index + 1) % 4]!, style: 'mid-plane' }));
}

function pairsOf(shape: ShapeShown, at: ReadonlyMap<string, Vec>): Stroke[] {
    return shape.points.flatMap(({ label, mirror }) => (mirror !== null && label < mirror ? between(at, label, mirror, 'pair') : []));
}
