// Names and flags in the view in space: each is drawn once on a sheet of its own and only moved from then on.

import { CanvasTexture, LinearFilter, type Texture } from 'three';

import { FROM_CORNER, Layer, materialOf, type Uniforms } from './layer';
import { fontOf, widthOf } from './text';
import type { Written } from './written';

const WIDTH = 1024;
const HEIGHT = 2048;
/** Round a name, for its halo, px. */
const EDGE = 4;
const FLAG = { width: 40, height: 48, footX: 5, footY: 43 };

const VERTEX = /* glsl */ `
    precision highp float;
    uniform vec2 size;
    in vec2 corner;
    in vec2 place, extent;
    in vec4 part;
    out vec2 at;
    void main() {
        at = part.xy + corner * part.zw;
        vec2 px = place + corner * extent;
        gl_Position = vec4(2.0 * px.x / size.x - 1.0, 1.0 - 2.0 * px.y / size.y, 0.0, 1.0);
    }
`;
const FRAGMENT = /* glsl */ `
    precision highp float;
    uniform sampler2D sheet;
    in vec2 at;
    out vec4 colour;
    void main() { colour = texture(sheet, at); }
`;

interface Part {
    x: number;
    y: number;
    width: number;
    height: number;
}

export class Writing {
    readonly layer: Layer;
    readonly #canvas = document.createElement('canvas');
    readonly #pen: CanvasRenderingContext2D;
    readonly #texture: Texture;
    #parts = new Map<string, Part>();
    #next = { x: 0, y: 0, row: 0 };
    #sharpness = 1;
    #look: (ink: string) => string = () => '#000000';

    constructor(order: number, shared: Uniforms) {
        this.#canvas.width = WIDTH;
        this.#canvas.height = HEIGHT;
        this.#pen = this.#canvas.getContext('2d')!;
        this.#texture = new CanvasTexture(this.#canvas);
        this.#texture.flipY = false;
        this.#texture.premultiplyAlpha = true;
        this.#texture.generateMipmaps = false;
        this.#texture.minFilter = this.#texture.magFilter = LinearFilter;
        this.layer = new Layer(materialOf(VERTEX, FRAGMENT, { ...shared, sheet: { value: this.#texture } }), order, FROM_CORNER, { place: 2, extent: 2, part: 4 });
    }

    /** Takes the colours of the look, and how sharp the screen is. All is written anew. */
    ink(look: (ink: string) => string, sharpness: number): void {
        this.#look = look;
        this.#sharpness = sharpness;
        this.#clear();
    }

    draw({ names, flags, rem }: Written): void {
        const sharp = this.#sharpness;
        const snap = (px: number): number => Math.round(px * sharp) / sharp;
        const written = () => [
            ...flags.map(({ x, y }) => ({ part: this.#flag(), x: snap(x - FLAG.footX), y: snap(y - FLAG.footY) })),
            ...names.map(({ label, x, y, isPicked }) => ({ part: this.#name(label, isPicked, rem), x: snap(x - EDGE), y: snap(y - EDGE) })),
        ];
        const sheet = this.#parts;
        let pieces = written();
        // The sheet was full and begun anew: what was written before that is written again.
        if (this.#parts !== sheet) pieces = written();
        this.layer.fill(pieces.length, (index) => {
            const { part, x, y } = pieces[index]!;
            return [
                [x, y],
                [part.width / sharp, part.height / sharp],
                [part.x / WIDTH, part.y / HEIGHT, part.width / WIDTH, part.height / HEIGHT],
            ];
        });
    }

    dispose(): void {
        this.layer.dispose();
        this.#texture.dispose();
    }

    #name(label: string, isPicked: boolean, rem: number): Part {
        return this.#once(`${isPicked} ${rem} ${label}`, () => {
            const pen = this.#pen;
            const width = widthOf(label, rem, isPicked);
            return {
                width: width + 2 * EDGE,
                height: Math.ceil(20 * rem) + 2 * EDGE,
                write: () => {
                    pen.font = fontOf(rem, isPicked);
                    pen.lineJoin = 'round';
                    pen.lineWidth = 4;
                    pen.strokeStyle = this.#look('sheet');
                    pen.fillStyle = this.#look(isPicked ? 'ink' : 'ink2');
                    pen.strokeText(label, EDGE, EDGE + 15 * rem);
                    pen.fillText(label, EDGE, EDGE + 15 * rem);
                },
            };
        });
    }

    /** The swallow-tailed flag of a suspect, its foot on the line. */
    #flag(): Part {
        return this.#once('\u0000flag', () => ({
            ...FLAG,
            write: () => {
                const pen = this.#pen;
                pen.translate(FLAG.footX, FLAG.footY);
                pen.fillStyle = pen.strokeStyle = this.#look('suspect');
                pen.fill(new Path2D('M3.2 0A3.2 3.2 0 1 1-3.2 0A3.2 3.2 0 1 1 3.2 0zM0-36h30l-7 9 7 9H0z'));
                pen.lineWidth = 3.2;
                pen.stroke(new Path2D('M0 0v-36'));
            },
        }));
    }

    /** What was written before is not written again. */
    #once(key: string, piece: () => { width: number; height: number; write: () => void }): Part {
        const known = this.#parts.get(key);
        if (known) return known;
        const { width, height, write } = piece();
        const [wide, high] = [Math.ceil(width * this.#sharpness), Math.ceil(height * this.#sharpness)];
        if (this.#next.x + wide > WIDTH) this.#next = { x: 0, y: this.#next.y + this.#next.row, row: 0 };
        if (this.#next.y + high > HEIGHT) this.#clear();
        const part = { x: this.#next.x, y: this.#next.y, width: wide, height: high };
        this.#pen.save();
        this.#pen.setTransform(this.#sharpness, 0, 0, this.#sharpness, part.x, part.y);
        write();
        this.#pen.restore();
        this.#next.x += wide;
        this.#next.row = Math.max(this.#next.row, high);
        this.#parts.set(key, part);
        this.#texture.needsUpdate = true;
        return part;
    }

    #clear(): void {
        this.#pen.clearRect(0, 0, WIDTH, HEIGHT);
        this.#parts = new Map();
        this.#next = { x: 0, y: 0, row: 0 };
    }
}
