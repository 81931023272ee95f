// The drawing on the graphics processor: every line a rectangle across the screen, every point a square with its dot and the
// outline of its ellipsoid, edges feathered where they are drawn. Few calls, whatever is in the scene. Loaded when it is needed.

import { Color, OrthographicCamera, Scene as Stage, Vector2, Vector3, WebGLRenderer } from 'three';

import { axesOf, type Camera, depths, type Frame } from './camera';
import { magnification } from './ellipse';
import { ALONG, Layer, materialOf, ROUND, type Uniforms } from './layer';
import type { Prick, Scene, Stroke } from './scene';
import { ARROW, INKS, PRICK_NAMES, PRICKS, STROKE_NAMES, strokeStyle } from './styles';
import { dot, middle, minus, type Vec } from './vector';
import { Writing } from './writing';
import type { Written } from './written';

/** Sharper than this costs more than it shows. */
const SHARPEST = 2;
/** More edges or points than this are not put in order with every turn. */
const MOST_IN_ORDER = 900;

const PROJECTION = /* glsl */ `
    uniform vec3 right, up, near, target;
    uniform vec2 size, depth;
    uniform float scale, on_sheet;
    // In mm about the target; of what lies on the sheet, in px from its middle.
    vec2 onScreen(vec3 place) {
        vec3 from = place - target;
        return on_sheet > 0.5 ? place.xy : scale * vec2(dot(right, from), dot(up, from));
    }
    float nearness(vec3 place) { return clamp((dot(near, place - target) - depth.x) / max(depth.y - depth.x, 1e-3), 0.0, 1.0); }
`;

const LINE_VERTEX = /* glsl */ `
    precision highp float;
    ${PROJECTION}
    const int STYLES = ${STROKE_NAMES.length};
    uniform vec4 weights[STYLES];
    uniform float arrows[STYLES];
    in vec2 corner;
    in vec3 start, end;
    in float style;
    out vec2 at;
    flat out float length_px, width_px, opacity;
    flat out int kind;
    void main() {
        kind = int(style + 0.5);
        vec2 a = onScreen(start), b = onScreen(end), along = b - a;
        length_px = length(along);
        vec2 way = length_px > 1e-3 ? along / length_px : vec2(1.0, 0.0);
        float close = nearness(0.5 * (start + end));
        vec4 weight = weights[kind];
        width_px = mix(weight.x, weight.y, close);
        opacity = mix(weight.z, weight.w, close);
        float reach = 0.5 * width_px + 1.0;
        float half_px = arrows[kind] > 0.0 ? max(reach, ${(ARROW.half + 3).toFixed(1)}) : reach;
        at = vec2(corner.x < 0.5 ? -reach : length_px + reach, corner.y * half_px);
        vec2 place = a + way * at.x + vec2(-way.y, way.x) * at.y;
        gl_Position = vec4(place / (0.5 * size), 0.0, 1.0);
    }
`;

const LINE_FRAGMENT = /* glsl */ `
    precision highp float;
    const int STYLES = ${STROKE_NAMES.length};
    uniform vec3 inks[STYLES];
    uniform vec4 dashes[STYLES];
    uniform float arrows[STYLES];
    uniform float sharpness;
    in vec2 at;
    flat in float length_px, width_px, opacity;
    flat in int kind;
    out vec4 colour;
    float toSegment(vec2 p, vec2 a, vec2 b) {
        vec2 along = b - a;
        return length(p - a - along * clamp(dot(p - a, along) / dot(along, along), 0.0, 1.0));
    }
    void main() {
        // Distances outside what is drawn, px.
        float half_px = 0.5 * width_px;
        float beyond = max(-at.x, at.x - length_px);
        vec4 dash = dashes[kind];
        float period = dash.x + dash.y + dash.z + dash.w;
        if (period > 0.0) {
            float m = mod(at.x, period);
            float second = dash.x + dash.y;
            float off = min(max(m - dash.x, -m), max(m - second - dash.z, second - m));
            beyond = max(beyond, min(off, period - m));
        }
        float away = max(abs(at.y) - half_px, beyond);
        if (arrows[kind] > 0.0) {
            vec2 side = vec2(at.x, abs(at.y));
            vec2 back = vec2(-${ARROW.long.toFixed(1)}, ${ARROW.half.toFixed(1)});
            away = min(away, toSegment(side, vec2(length_px, 0.0), vec2(length_px, 0.0) + back) - half_px);
            if (arrows[kind] > 1.5) away = min(away, toSegment(side, vec2(0.0), vec2(-back.x, back.y)) - half_px);
        }
        float cover = clamp(0.5 - away * sharpness, 0.0, 1.0) * opacity;
        if (cover < 0.004) discard;
        colour = vec4(inks[kind] * cover, cover);
    }
`;

const POINT_VERTEX = /* glsl */ `
    precision highp float;
    ${PROJECTION}
    const int STYLES = ${PRICK_NAMES.length};
    uniform vec4 rings[STYLES];
    uniform float factor;
    in vec2 corner;
    in vec3 place, first, second, third;
    in float style;
    out vec2 at;
    flat out vec3 inverse;
    flat out float outlined;
    flat out int kind;
    void main() {
        kind = int(style + 0.5);
        // The outline of the ellipsoid is p' (PAA'P')^-1 p = 1, where A has its semi-axes as columns and P projects.
        float by = scale * factor;
        vec2 a = by * vec2(dot(right, first), dot(up, first));
        vec2 b = by * vec2(dot(right, second), dot(up, second));
        vec2 c = by * vec2(dot(right, third), dot(up, third));
        // A hair's breadth keeps a flat one from having no inverse.
        float xx = a.x * a.x + b.x * b.x + c.x * c.x + 1e-3;
        float xy = a.x * a.y + b.x * b.y + c.x * c.y;
        float yy = a.y * a.y + b.y * b.y + c.y * c.y + 1e-3;
        outlined = dot(first, first) > 0.0 ? 1.0 : 0.0;
        inverse = vec3(yy, -xy, xx) / (xx * yy - xy * xy);
        float most = max(rings[kind].x, rings[kind].z + 0.5 * rings[kind].w) + 2.0;
        vec2 reach = max(vec2(most), outlined * (sqrt(vec2(xx, yy)) + 3.0));
        at = corner * reach;
        gl_Position = vec4((onScreen(place) + at) / (0.5 * size), 0.0, 1.0);
    }
`;

const POINT_FRAGMENT = /* glsl */ `
    precision highp float;
    const int STYLES = ${PRICK_NAMES.length};
    /** Radius of the dot, density of the fill, radius and width of the ring. */
    uniform vec4 rings[STYLES];
    uniform vec3 dot_inks[STYLES], ring_inks[STYLES], fills[STYLES];
    uniform float sharpness;
    in vec2 at;
    flat in vec3 inverse;
    flat in float outlined;
    flat in int kind;
    out vec4 colour;
    void over(vec3 ink, float cover) { colour = vec4(ink * cover, cover) + colour * (1.0 - cover); }
    float covered(float away) { return clamp(0.5 - away * sharpness, 0.0, 1.0); }
    void main() {
        vec4 ring = rings[kind];
        float from = length(at);
        // How far outside the outline, px: exact on it, to first order beside it.
        float away = 1e3;
        if (outlined > 0.5) {
            vec2 slope = vec2(inverse.x * at.x + inverse.y * at.y, inverse.y * at.x + inverse.z * at.y);
            float value = sqrt(max(dot(at, slope), 1e-9));
            away = (value - 1.0) * value / max(length(slope), 1e-9);
        }
        colour = vec4(0.0);
        if (outlined > 0.5) {
            over(fills[kind], covered(away) * ring.y);
            over(ring_inks[kind], covered(abs(away) - 0.6));
        }
        if (ring.z > 0.0) {
            over(fills[kind], covered(from - ring.z) * ring.y);
            over(ring_inks[kind], covered(abs(from - ring.z) - 0.5 * ring.w));
        }
        if (ring.x > 0.0) over(dot_inks[kind], covered(from - ring.x));
        if (colour.a < 0.004) discard;
    }
`;

const STROKE_FIELDS = { start: 3, end: 3, style: 1 };
const PRICK_FIELDS = { place: 3, first: 3, second: 3, third: 3, style: 1 };
const NONE: Vec = [0, 0, 0];

export class SpaceDrawing {
    readonly #renderer: WebGLRenderer;
    readonly #stage = new Stage();
    readonly #camera = new OrthographicCamera();
    readonly #shared: Uniforms = {
        right: { value: new Vector3() },
        up: { value: new Vector3() },
        near: { value: new Vector3() },
        target: { value: new Vector3() },
        size: { value: new Vector2() },
        depth: { value: new Vector2() },
        scale: { value: 1 },
        sharpness: { value: 1 },
        factor: { value: 1 },
        on_sheet: { value: 0 },
    };
    readonly #lines: Uniforms;
    readonly #points: Uniforms;
    readonly #under: Layer;
    readonly #outline: Layer;
    readonly #over: Layer;
    readonly #pricks: Layer;
    readonly #notes: Layer;
    readonly #ends: Layer;
    readonly #writing: Writing;
    #scene: Scene | null = null;
    /** Of mm, about which places are kept, so that few digits are lost. */
    #origin: Vec = NONE;

    /** Throws where the device has no WebGL. */
    constructor(canvas: HTMLCanvasElement, onlost: () => void) {
        // Asked for beforehand, since the library complains loudly where there is none.
        const context = canvas.getContext('webgl2', { antialias: false, alpha: false, depth: false, stencil: false, powerPreference: 'low-power' });
        if (!context) throw new Error('this device has no WebGL 2');
        this.#renderer = new WebGLRenderer({ canvas, context });
        this.#renderer.setPixelRatio(1);
        this.#renderer.sortObjects = true;
        canvas.addEventListener('webglcontextlost', (event) => {
            event.preventDefault();
            onlost();
        });
        const styles = STROKE_NAMES.map(strokeStyle);
        this.#lines = {
            ...this.#shared,
            weights: { value: styles.flatMap(({ width, opacity }) => [...width, ...opacity]) },
            dashes: { value: styles.flatMap(({ dash }) => dash ?? [0, 0, 0, 0]) },
            arrows: { value: styles.map(({ arrows }) => (arrows === 'both' ? 2 : arrows === 'end' ? 1 : 0)) },
            inks: { value: [] },
        };
        this.#points = {
            ...this.#shared,
            rings: { value: PRICK_NAMES.flatMap((name) => [PRICKS[name].dot, PRICKS[name].fillOpacity, PRICKS[name].ring, PRICKS[name].ringWidth]) },
            dot_inks: { value: [] },
            ring_inks: { value: [] },
            fills: { value: [] },
        };
        const line = materialOf(LINE_VERTEX, LINE_FRAGMENT, this.#lines);
        const point = materialOf(POINT_VERTEX, POINT_FRAGMENT, this.#points);
        this.#under = new Layer(line, 0, ALONG, STROKE_FIELDS);
        this.#outline = new Layer(line, 1, ALONG, STROKE_FIELDS);
        this.#over = new Layer(line, 2, ALONG, STROKE_FIELDS);
        this.#pricks = new Layer(point, 3, ROUND, PRICK_FIELDS);
        const onSheet = { on_sheet: { value: 1 } };
        this.#notes = new Layer(materialOf(LINE_VERTEX, LINE_FRAGMENT, { ...this.#lines, ...onSheet }), 4, ALONG, STROKE_FIELDS);
        this.#ends = new Layer(materialOf(POINT_VERTEX, POINT_FRAGMENT, { ...this.#points, ...onSheet }), 5, ROUND, PRICK_FIELDS);
        this.#writing = new Writing(6, this.#shared);
        for (const { mesh } of this.#layers) this.#stage.add(mesh);
    }

    get #layers(): Layer[] {
        return [this.#under, this.#outline, this.#over, this.#pricks, this.#notes, this.#ends, this.#writing.layer];
    }

    /** Takes the colours of the look as they are now. */
    ink(element: Element): void {
        const look = getComputedStyle(element);
        const colours = new Map(INKS.map((name) => [name, rgb(look.getPropertyValue(`--${name}`))]));
        const of = (name: (typeof INKS)[number]): number[] => colours.get(name)!;
        this.#lines.inks!.value = STROKE_NAMES.flatMap((name) => of(strokeStyle(name).ink));
        this.#points.dot_inks!.value = PRICK_NAMES.flatMap((name) => of(PRICKS[name].dotInk));
        this.#points.ring_inks!.value = PRICK_NAMES.flatMap((name) => of(PRICKS[name].ringInk));
        this.#points.fills!.value = PRICK_NAMES.flatMap((name) => of(PRICKS[name].fill));
        this.#writing.ink((ink) => look.getPropertyValue(`--${ink}`).trim(), sharpnessNow());
        const [r = 0, g = 0, b = 0] = of('sheet');
        // Colours go to the screen as they are: nothing is lit.
        this.#renderer.setClearColor(new Color().setRGB(r, g, b, 'srgb-linear'), 1);
        this.#renderer.outputColorSpace = 'srgb-linear';
    }

    /** Takes another scene. */
    take(scene: Scene): void {
        this.#scene = scene;
        this.#origin = scene.box ? middle(scene.box.low, scene.box.high) : NONE;
        this.#strokes(this.#under, scene.under);
        this.#strokes(this.#over, scene.over);
        if (scene.outline.length > MOST_IN_ORDER) this.#strokes(this.#outline, scene.outline);
        if (scene.pricks.length > MOST_IN_ORDER) this.#marks(scene.pricks);
    }

    draw(camera: Camera, { width, height }: Frame, written: Written): void {
        const scene = this.#scene;
        if (!scene || width === 0 || height === 0) return;
        const sharpness = sharpnessNow();
        this.#renderer.setPixelRatio(sharpness);
        const before = this.#renderer.getSize(new Vector2());
        if (before.x !== width || before.y !== height) this.#renderer.setSize(width, height, false);
        const axes = axesOf(camera);
        const reach = depths(camera, scene.pricks);
        const { right, up, near, target, size, depth, scale, sharpness: sharp, factor } = this.#shared;
        (right!.value as Vector3).set(...axes.right);
        (up!.value as Vector3).set(...axes.up);
        (near!.value as Vector3).set(...axes.near);
        (target!.value as Vector3).set(...minus(camera.target, this.#origin));
        (size!.value as Vector2).set(width, height);
        (depth!.value as Vector2).set(reach.far, reach.near);
        scale!.value = camera.scale;
        sharp!.value = sharpness;
        factor!.value = magnification(scene.longest, camera.scale, { width, height });
        this.#inOrder(scene, axes.near);
        this.#write(written, { width, height });
        this.#renderer.render(this.#stage, this.#camera);
    }

    dispose(): void {
        for (const layer of this.#layers) layer.dispose();
        this.#writing.dispose();
        this.#renderer.dispose();
    }

    /** What is far is drawn before what is near; near edges cut through those behind. */
    #inOrder({ outline, pricks, box }: Scene, near: Vec): void {
        if (outline.length <= MOST_IN_ORDER) {
            const far = outline.map((stroke) => ({ stroke, depth: dot(near, stroke.a) + dot(near, stroke.b) })).sort((a, b) => a.depth - b.depth);
            const halo = box ? Math.floor(far.length * 0.5) : far.length;
            const strokes = far.flatMap(({ stroke }, index): Stroke[] => (index >= halo ? [{ ...stroke, style: 'outline-halo' }, stroke] : [stroke]));
            this.#strokes(this.#outline, strokes);
        }
        if (pricks.length <= MOST_IN_ORDER) {
            const last = (prick: Prick): number => (prick.style === 'picked' ? 1 : 0);
            this.#marks(
                pricks
                    .map((prick) => ({ prick, depth: dot(near, prick.at) }))
                    .sort((a, b) => last(a.prick) - last(b.prick) || a.depth - b.depth)
                    .map(({ prick }) => prick),
            );
        }
    }

    /** What is written over the drawing. */
    #write(written: Written, { width, height }: Frame): void {
        const fromMiddle = (x: number, y: number): Vec => [x - width / 2, height / 2 - y, 0];
        const { strokes, pricks } = written;
        this.#notes.fill(strokes.length, (index) => {
            const { style, fromX, fromY, toX, toY } = strokes[index]!;
            return [fromMiddle(fromX, fromY), fromMiddle(toX, toY), STROKE_NAMES.indexOf(style)];
        });
        this.#ends.fill(pricks.length, (index) => {
            const { style, x, y } = pricks[index]!;
            return [fromMiddle(x, y), NONE, NONE, NONE, PRICK_NAMES.indexOf(style)];
        });
        this.#writing.draw(written);
    }

    #strokes(layer: Layer, strokes: readonly Stroke[]): void {
        layer.fill(strokes.length, (index) => {
            const { a, b, style } = strokes[index]!;
            return [minus(a, this.#origin), minus(b, this.#origin), STROKE_NAMES.indexOf(style)];
        });
    }

    #marks(pricks: readonly Prick[]): void {
        this.#pricks.fill(pricks.length, (index) => {
            const { at, axes, style } = pricks[index]!;
            return [minus(at, this.#origin), axes[0] ?? NONE, axes[1] ?? NONE, axes[2] ?? NONE, PRICK_NAMES.indexOf(style)];
        });
    }
}

const sharpnessNow = (): number => Math.min(SHARPEST, window.devicePixelRatio || 1);

/** `#f7f9f1` as three parts of 1. */
function rgb(text: string): number[] {
    const value = Number.parseInt(text.trim().slice(1), 16);
    return [(value >> 16) / 255, ((value >> 8) & 255) / 255, (value & 255) / 255];
}
