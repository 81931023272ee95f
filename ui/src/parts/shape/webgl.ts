// The drawing on the graphics processor: every line a rectangle across the screen, every point a square with its dot and the
// outline of its ellipsoid, edges feathered where they are drawn. Few calls, whatever is in the scene. Loaded when it is needed.

import { Color, OrthographicCamera, Scene as Stage, Vector2, Vector3, WebGLRenderer } from 'three';

import { axesOf, type Camera, depths, type Frame } from './camera';
import { magnification } from './ellipse';
import { ALONG, FROM_CORNER, Layer, materialOf, ROUND, type Uniforms } from './layer';
import { type Face, isAbove } from './faces';
import { inOrder } from './order';
import { MOST_IN_ORDER, type Prick, type Scene, type Stroke } from './scene';
import { FACE_FRAGMENT, FACE_VERTEX, LINE_FRAGMENT, LINE_VERTEX, POINT_FRAGMENT, POINT_VERTEX } from './shaders';
import { FACES, INKS, PRICK_NAMES, PRICKS, STROKE_NAMES, strokeStyle } from './styles';
import { dot, middle, minus, type Vec } from './vector';
import { Writing } from './writing';
import type { Written } from './written';

/** Sharper than this costs more than it shows. */
const SHARPEST = 2;

const STROKE_FIELDS = { start: 3, end: 3, style: 1 };
const FACE_FIELDS = { first: 3, second: 3, third: 3, fourth: 3, is_above: 1 };
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
    readonly #fills: Uniforms;
    readonly #under: Layer;
    readonly #far: Layer;
    readonly #faces: Layer;
    readonly #near: Layer;
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
        this.#fills = { ...this.#shared, above: { value: new Vector3() }, aside: { value: new Vector3() } };
        const line = materialOf(LINE_VERTEX, LINE_FRAGMENT, this.#lines);
        const point = materialOf(POINT_VERTEX, POINT_FRAGMENT, this.#points);
        this.#under = new Layer(line, 0, ALONG, STROKE_FIELDS);
        this.#far = new Layer(line, 1, ALONG, STROKE_FIELDS);
        this.#faces = new Layer(materialOf(FACE_VERTEX, FACE_FRAGMENT, this.#fills), 2, FROM_CORNER, FACE_FIELDS);
        this.#near = new Layer(line, 3, ALONG, STROKE_FIELDS);
        this.#over = new Layer(line, 4, ALONG, STROKE_FIELDS);
        this.#pricks = new Layer(point, 5, ROUND, PRICK_FIELDS);
        const onSheet = { on_sheet: { value: 1 } };
        this.#notes = new Layer(materialOf(LINE_VERTEX, LINE_FRAGMENT, { ...this.#lines, ...onSheet }), 6, ALONG, STROKE_FIELDS);
        this.#ends = new Layer(materialOf(POINT_VERTEX, POINT_FRAGMENT, { ...this.#points, ...onSheet }), 7, ROUND, PRICK_FIELDS);
        this.#writing = new Writing(8, this.#shared);
        for (const { mesh } of this.#layers) this.#stage.add(mesh);
    }

    get #layers(): Layer[] {
        return [this.#under, this.#far, this.#faces, this.#near, this.#over, this.#pricks, this.#notes, this.#ends, this.#writing.layer];
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
        (this.#fills.above!.value as Vector3).fromArray(of(FACES.above));
        (this.#fills.aside!.value as Vector3).fromArray(of(FACES.aside));
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
        if (scene.outline.length > MOST_IN_ORDER) {
            this.#strokes(this.#far, scene.outline);
            this.#strokes(this.#near, []);
            this.#fill([]);
        }
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

    /** What is far is drawn before what is near. */
    #inOrder(scene: Scene, near: Vec): void {
        const { outline, pricks } = scene;
        if (outline.length <= MOST_IN_ORDER) {
            const laid = inOrder(scene, near);
            this.#strokes(this.#far, laid.far);
            this.#fill(laid.faces);
            this.#strokes(this.#near, laid.near);
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

    #fill(faces: readonly Face[]): void {
        this.#faces.fill(faces.length, (index) => {
            const face = faces[index]!;
            const [first, second, third, fourth = third] = face.corners.map((corner) => minus(corner, this.#origin));
            return [first!, second!, third!, fourth!, isAbove(face) ? 1 : 0];
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

/** `#f7f9f1`, or `#fff` for short, as three parts of 1. */
function rgb(text: string): number[] {
    const digits = text.trim().slice(1);
    const value = Number.parseInt(digits.length === 3 ? digits.replace(/./g, '$&$&') : digits, 16);
    return [(value >> 16) / 255, ((value >> 8) & 255) / 255, (value & 255) / 255];
}
