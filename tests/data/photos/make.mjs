// Draws the invented photos of this folder: a bare shell that never was, in perspective, shaded, with grain. No camera
// and no photo of anything had a part in them.
//
// `node make.mjs` needs ImageMagick's `convert`. What a camera writes beside a picture (which way is up, when and where
// it was taken) is put in here, byte by byte, as CIPA DC-008 has it.

import { spawnSync } from 'node:child_process';
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const HERE = import.meta.dirname;
const [WIDTH, HEIGHT] = [1200, 900];

/** The eye looks from behind and above the left of the shell to its front; x ahead, y left, z up, in mm. */
const EYE = [-1900, 500, 1500];
const AT = [1500, 0, 250];

const minus = (a, b) => a.map((part, index) => part - b[index]);
const dot = (a, b) => a.reduce((sum, part, index) => sum + part * b[index], 0);
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (a) => a.map((part) => part / Math.hypot(...a));

const ahead = unit(minus(AT, EYE));
const right = unit(cross(ahead, [0, 0, 1]));
const up = cross(right, ahead);

function seen(point) {
    const from = minus(point, EYE);
    const depth = dot(from, ahead);
    const scale = (0.78 * WIDTH) / depth;
    return { x: WIDTH / 2 + dot(from, right) * scale, y: HEIGHT / 2 - dot(from, up) * scale, depth };
}

/** Faces, each with its colour; the light comes from ahead, above and the right. */
const LIGHT = unit([0.6, -0.45, 0.85]);
const faces = [];
function face(colour, ...corners) {
    const normal = unit(cross(minus(corners[1], corners[0]), minus(corners[2], corners[0])));
    const lit = 0.34 + 0.66 * Math.abs(dot(normal, LIGHT));
    const places = corners.map(seen);
    const depth = places.reduce((sum, { depth }) => sum + depth, 0) / places.length;
    const haze = Math.min(0.3, Math.max(0, (depth - 1800) / 9000));
    const shade = colour.map((part) => Math.round(part * lit * (1 - haze) + 205 * haze));
    faces.push({ depth, shade, places });
}
/** A beam of a square section. */
function beam(colour, a, b, thick) {
    const along = unit(minus(b, a));
    const side = unit(cross(along, Math.abs(along[2]) > 0.8 ? [1, 0, 0] : [0, 0, 1]));
    const over = cross(side, along);
    const corner = (end, s, t) => end.map((part, index) => part + (side[index] * s + over[index] * t) * (thick / 2));
    for (const [[s, t], [u, v]] of [[[1, 1], [1, -1]], [[1, -1], [-1, -1]], [[-1, -1], [-1, 1]], [[-1, 1], [1, 1]]]) {
        face(colour, corner(a, s, t), corner(b, s, t), corner(b, u, v), corner(a, u, v));
    }
}
const STEEL = [148, 156, 160];
const PRIMER = [150, 92, 72];
const DARK = [86, 90, 92];
const mirrored = (draw) => [1, -1].forEach((side) => draw((x, y, z) => [x, y * side, z]));

// The shop floor, in slabs, the shell's floor with its ribs, and what stands on it.
for (let x = -600; x < 6000; x += 600) {
    for (let y = -3600; y < 3600; y += 600) {
        face((x / 600 + y / 600) % 2 === 0 ? [150, 146, 138] : [143, 139, 131], [x, y, -420], [x + 600, y, -420], [x + 600, y + 600, -420], [x, y + 600, -420]);
    }
}
for (let x = 0; x < 1800; x += 225) {
    for (let y = -640; y < 640; y += 320) face(DARK, [x, y, 0], [x + 215, y, 0], [x + 215, y + 320, 0], [x, y + 320, 0]);
    face(STEEL, [x + 215, -640, 0], [x + 215, 640, 0], [x + 225, 640, 18], [x + 225, -640, 18]);
}
face(STEEL, [0, 120, 5], [1850, 120, 5], [1850, 90, 190], [0, 90, 190]);
face(STEEL, [0, -120, 5], [1850, -120, 5], [1850, -90, 190], [0, -90, 190]);
face(DARK, [0, 90, 190], [1850, 90, 190], [1850, -90, 190], [0, -90, 190]);
face(PRIMER, [1850, 700, 0], [1850, -700, 0], [1930, -700, 560], [1930, 700, 560]);
mirrored((at) => {
    beam(STEEL, at(-100, 690, 60), at(1900, 690, 60), 130);
    beam(STEEL, at(1870, 700, 60), at(1960, 720, 600), 95);
    beam(STEEL, at(1960, 720, 600), at(1180, 560, 1120), 70);
    beam(STEEL, at(1180, 560, 1120), at(0, 560, 1150), 70);
    beam(STEEL, at(0, 560, 1150), at(-90, 690, 110), 80);
    beam(STEEL, at(640, 690, 100), at(600, 575, 1130), 85);
    beam(PRIMER, at(1930, 430, 120), at(3150, 420, 150), 110);
    beam(PRIMER, at(1960, 700, 560), at(3050, 560, 520), 80);
    face(PRIMER, at(2250, 380, 560), at(2650, 380, 560), at(2650, 640, 545), at(2250, 640, 545));
    face(STEEL, at(2250, 380, 560), at(2650, 380, 560), at(2650, 400, 160), at(2250, 400, 160));
    face([60, 62, 64], at(2380, 450, 566), at(2520, 450, 566), at(2520, 580, 560), at(2380, 580, 560));
    beam(DARK, at(1500, 690, -420), at(1500, 690, 0), 90);
});
beam(STEEL, [1180, 560, 1120], [1180, -560, 1120], 70);
beam(STEEL, [3120, 470, 160], [3120, -470, 160], 110);
beam(STEEL, [1960, 700, 600], [1960, -700, 600], 80);
beam(STEEL, [0, 560, 1150], [0, -560, 1150], 60);

const NEAR = 250;
const drawing = faces
    .filter(({ places }) => places.every(({ depth }) => depth > NEAR))
    .sort((a, b) => b.depth - a.depth)
    .map(({ shade, places }) => {
        const path = places.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ');
        return `fill rgb(${shade.join(',')}) stroke rgb(${shade.map((part) => Math.round(part * 0.9)).join(',')}) polygon ${path}`;
    })
    .join('\n');

/** Draws it, and gives the bytes of a JPEG without a word beside the picture. */
function drawn(...turn) {
    const file = join(HERE, 'drawn.jpg');
    const done = spawnSync(
        'convert',
        [
            ...['-size', `${WIDTH}x${HEIGHT}`, 'gradient:#d9dcd4-#8d8f88', '-draw', drawing],
            ...['-blur', '0x0.8', '-seed', '7', '-attenuate', '0.16', '+noise', 'Gaussian'],
            // Darker towards the edges, as a lens has it.
            ...['(', '-size', `${WIDTH}x${HEIGHT}`, 'radial-gradient:white-gray55', ')', '-compose', 'multiply', '-composite'],
            ...turn,
            ...['-strip', '-interlace', 'none', '-sampling-factor', '2x2', '-quality', '58', file],
        ],
        { encoding: 'utf8' },
    );
    if (done.status !== 0) throw new Error(done.stderr);
    return readFileSync(file);
}

/** EXIF that says: turn it by a quarter, taken then, and there (a place in the sea, where no one stands). */
function exif(orientation) {
    const ascii = (text) => Buffer.from(`${text}\0`);
    const rationals = (...pairs) => Buffer.concat(pairs.map(([over, under]) => Buffer.concat([u32(over), u32(under)])));
    const u16 = (value) => Buffer.from([value >> 8, value & 255]);
    const u32 = (value) => Buffer.concat([u16(value >>> 16), u16(value & 0xffff)]);
    /** Entries of a directory that begins at `at`, what is longer than four bytes behind it. */
    const directory = (at, entries) => {
        const behind = [];
        let free = at + 2 + entries.length * 12 + 4;
        const lines = entries.map(([tag, type, count, value]) => {
            const head = Buffer.concat([u16(tag), u16(type), u32(count)]);
            if (value.length <= 4) return Buffer.concat([head, value, Buffer.alloc(4 - value.length)]);
            const line = Buffer.concat([head, u32(free)]);
            const even = value.length % 2 === 0 ? value : Buffer.concat([value, Buffer.alloc(1)]);
            behind.push(even);
            free += even.length;
            return line;
        });
        return Buffer.concat([u16(entries.length), ...lines, u32(0), ...behind]);
    };
    const [ASCII, SHORT, LONG, RATIONAL] = [2, 3, 4, 5];
    const first = (exifAt, gpsAt) =>
        directory(8, [
            [0x0112, SHORT, 1, u16(orientation)],
            [0x8769, LONG, 1, u32(exifAt)],
            [0x8825, LONG, 1, u32(gpsAt)],
        ]);
    const exifAt = 8 + first(0, 0).length;
    const taken = directory(exifAt, [[0x9003, ASCII, 20, ascii('2026:04:03 10:12:00')]]);
    const gpsAt = exifAt + taken.length;
    const gps = directory(gpsAt, [
        [0x0001, ASCII, 2, ascii('S')],
        [0x0002, RATIONAL, 3, rationals([48, 1], [52, 1], [36, 1])],
        [0x0003, ASCII, 2, ascii('W')],
        [0x0004, RATIONAL, 3, rationals([123, 1], [23, 1], [36, 1])],
        [0x001b, ASCII, 15, ascii('POINT-NEMO-GPS')],
    ]);
    const tiff = Buffer.concat([Buffer.from('MM\0*'), u32(8), first(exifAt, gpsAt), taken, gps]);
    const body = Buffer.concat([Buffer.from('Exif\0\0'), tiff]);
    return Buffer.concat([Buffer.from([0xff, 0xe1]), u16(body.length + 2), body]);
}

/** A JPEG with a segment right behind its beginning. */
const withSegment = (jpeg, segment) => Buffer.concat([jpeg.subarray(0, 2), segment, jpeg.subarray(2)]);

writeFileSync(join(HERE, 'shell-lying.jpg'), drawn());
// Stored turned by a quarter to the left: shown upright it is the same scene, taller than wide.
const tall = drawn('-crop', '675x900+262+0', '+repage', '-rotate', '-90');
writeFileSync(join(HERE, 'shell-turned.jpg'), withSegment(tall, exif(6)));
const dark = drawn('-modulate', '28,70', '-resize', '800x600');
writeFileSync(join(HERE, 'shell-dark.jpg'), dark);
rmSync(join(HERE, 'drawn.jpg'));
