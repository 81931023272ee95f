// How lines, faces and points come to the screen, in the language of the graphics processor. Places are in mm about the origin of
// the drawing; what lies on the sheet is in px from its middle. Colours are multiplied by what they cover.

import { ARROW, FACES, PRICK_NAMES, STROKE_NAMES } from './styles';

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

export const LINE_VERTEX = /* glsl */ `
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

export const LINE_FRAGMENT = /* glsl */ `
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

export const FACE_VERTEX = /* glsl */ `
    precision highp float;
    ${PROJECTION}
    in vec2 corner;
    in vec3 first, second, third, fourth;
    in float is_above;
    flat out float light;
    void main() {
        light = is_above;
        vec3 place = mix(mix(first, second, corner.x), mix(fourth, third, corner.x), corner.y);
        gl_Position = vec4(onScreen(place) / (0.5 * size), 0.0, 1.0);
    }
`;

export const FACE_FRAGMENT = /* glsl */ `
    precision highp float;
    uniform vec3 above, aside;
    flat in float light;
    out vec4 colour;
    void main() {
        const float cover = ${FACES.opacity.toFixed(2)};
        colour = vec4((light > 0.5 ? above : aside) * cover, cover);
    }
`;

export const POINT_VERTEX = /* glsl */ `
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

export const POINT_FRAGMENT = /* glsl */ `
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
