// A layer of the drawing on the graphics processor: one shape, drawn once for each instance, all in one call.

import {
    BufferAttribute,
    CustomBlending,
    DoubleSide,
    DynamicDrawUsage,
    GLSL3,
    InstancedBufferAttribute,
    InstancedBufferGeometry,
    type IUniform,
    Mesh,
    OneFactor,
    OneMinusSrcAlphaFactor,
    RawShaderMaterial,
} from 'three';

export type Uniforms = Record<string, IUniform>;
/** A number, or several, of one instance. */
export type Field = number | readonly number[];

/** Corners of a rectangle: along a line and across it, round a middle, or from a corner. */
export const ALONG = new Float32Array([0, -1, 1, -1, 0, 1, 1, 1]);
export const ROUND = new Float32Array([-1, -1, 1, -1, -1, 1, 1, 1]);
export const FROM_CORNER = new Float32Array([0, 0, 1, 0, 0, 1, 1, 1]);
const TRIANGLES = [0, 1, 2, 2, 1, 3];

export class Layer {
    readonly mesh: Mesh<InstancedBufferGeometry, RawShaderMaterial>;
    #room = 0;

    /** `fields` are what each instance has, by name and how many numbers. */
    constructor(
        material: RawShaderMaterial,
        order: number,
        private readonly corners: Float32Array,
        private readonly fields: Record<string, number>,
    ) {
        this.mesh = new Mesh(this.#geometry(0), material);
        this.mesh.frustumCulled = false;
        this.mesh.renderOrder = order;
    }

    /** Takes so many instances over; `write` gives one, field after field. */
    fill(count: number, write: (index: number) => readonly Field[]): void {
        if (count > this.#room) {
            this.#room = Math.ceil(count * 1.3);
            // The library holds a geometry to the room that it first had.
            this.mesh.geometry.dispose();
            this.mesh.geometry = this.#geometry(this.#room);
        }
        const { geometry } = this.mesh;
        const attributes = Object.keys(this.fields).map((name) => geometry.getAttribute(name) as InstancedBufferAttribute);
        for (let index = 0; index < count; index += 1) {
            write(index).forEach((value, field) => {
                const { array, itemSize } = attributes[field]!;
                if (typeof value === 'number') array[index * itemSize] = value;
                else for (let part = 0; part < itemSize; part += 1) array[index * itemSize + part] = value[part]!;
            });
        }
        for (const attribute of attributes) attribute.needsUpdate = true;
        geometry.instanceCount = count;
        this.mesh.visible = count > 0;
    }

    dispose(): void {
        this.mesh.geometry.dispose();
        this.mesh.material.dispose();
    }

    #geometry(room: number): InstancedBufferGeometry {
        const geometry = new InstancedBufferGeometry();
        geometry.setAttribute('corner', new BufferAttribute(this.corners, 2));
        geometry.setIndex(TRIANGLES);
        for (const [name, width] of Object.entries(this.fields)) {
            geometry.setAttribute(name, new InstancedBufferAttribute(new Float32Array(room * width), width).setUsage(DynamicDrawUsage));
        }
        return geometry;
    }
}

/** What is drawn last lies over the rest; colours are multiplied by what they cover. */
export function materialOf(vertexShader: string, fragmentShader: string, uniforms: Uniforms): RawShaderMaterial {
    return new RawShaderMaterial({
        glslVersion: GLSL3,
        vertexShader,
        fragmentShader,
        uniforms,
        depthTest: false,
        depthWrite: false,
        transparent: true,
        side: DoubleSide,
        blending: CustomBlending,
        blendSrc: OneFactor,
        blendDst: OneMinusSrcAlphaFactor,
    });
}
