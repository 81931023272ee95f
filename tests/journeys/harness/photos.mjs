// Photos to take in, good ones and bad ones, and what is done with a finger on one.

import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { deflateSync, inflateRawSync } from 'node:zlib';

import { PHOTOS } from './places.mjs';

/** The path of a good photo; how each was made is told beside it. */
export const photo = (name) => join(PHOTOS, `${name}.jpg`);

/** What stands in `shell-turned.jpg` where a camera writes its position. */
export const POSITION = 'POINT-NEMO-GPS';

/** The EXIF tag that leads to positions: CIPA DC-008, table 4, GPSInfo 0x8825 as LONG. */
export const LEADS_TO_POSITION = Buffer.from([0x88, 0x25, 0x00, 0x04]);

/** Puts files that are no photo that can be taken into a folder: the path of each, and what must be said of it. */
export function badFiles(folder) {
    const good = readFileSync(photo('shell-lying'));
    // ISO/IEC 23008-12: a HEIC file begins with a box `ftyp` of the brand `heic`.
    const heic = Buffer.concat([Buffer.from([0, 0, 0, 24]), Buffer.from('ftypheic\0\0\0\0mif1heic'), Buffer.alloc(400)]);
    const files = [
        ['note.jpg', Buffer.from('sill L 42 3/8\n'.repeat(40)), /note\.jpg: .*text.*choose a photo/i],
        ['half.jpg', good.subarray(0, good.length / 2), /half\.jpg: .*cut off.*(copy|send) it again/i],
        ['phone.heic', heic, /phone\.heic: .*HEIC.*JPEG/i],
        ['wide.png', blankPng(10_000, 10_000), /wide\.png: .*10000 x 10000 pixels.*fewer pixels/i],
        ['empty.jpg', Buffer.alloc(0), /empty\.jpg: .*empty.*again/i],
        ['huge.jpg', Buffer.concat([good, Buffer.alloc(48 << 20)]), /huge\.jpg: .*48 MB is the most.*smaller/i],
    ];
    return files.map(([name, bytes, says]) => {
        const path = join(folder, name);
        writeFileSync(path, bytes);
        return { name, path, says };
    });
}

/** A white PNG of one bit a pixel (W3C PNG, 3rd edition): hardly any bytes, however many pixels. */
function blankPng(width, height) {
    const u32 = (value) => Buffer.from([value >>> 24, (value >> 16) & 255, (value >> 8) & 255, value & 255]);
    const chunk = (kind, data) => {
        const body = Buffer.concat([Buffer.from(kind), data]);
        return Buffer.concat([u32(data.length), body, u32(crc32(body))]);
    };
    const row = Buffer.alloc(1 + Math.ceil(width / 8), 255).fill(0, 0, 1);
    const pixels = deflateSync(Buffer.concat(Array.from({ length: height }, () => row)));
    const head = Buffer.concat([u32(width), u32(height), Buffer.from([1, 0, 0, 0, 0])]);
    return Buffer.concat([Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'), chunk('IHDR', head), chunk('IDAT', pixels), chunk('IEND', Buffer.alloc(0))]);
}

function crc32(bytes) {
    let sum = 0xffffffff;
    for (const byte of bytes) {
        sum ^= byte;
        for (let bit = 0; bit < 8; bit += 1) sum = (sum >>> 1) ^ (sum & 1 ? 0xedb88320 : 0);
    }
    return (sum ^ 0xffffffff) >>> 0;
}

/** The files of a zip, unpacked (APPNOTE 4.3.12 and 4.3.7): by its own list of them, each stored or deflated. */
export function unzipped(zip) {
    const files = new Map();
    const end = zip.lastIndexOf(Buffer.from('PK\x05\x06', 'latin1'));
    let at = zip.readUInt32LE(end + 16);
    for (let left = zip.readUInt16LE(end + 10); left > 0; left -= 1) {
        const [how, length] = [zip.readUInt16LE(at + 10), zip.readUInt32LE(at + 20)];
        const [name, extra, comment] = [28, 30, 32].map((offset) => zip.readUInt16LE(at + offset));
        const local = zip.readUInt32LE(at + 42);
        const begin = local + 30 + zip.readUInt16LE(local + 26) + zip.readUInt16LE(local + 28);
        const packed = zip.subarray(begin, begin + length);
        files.set(zip.toString('utf8', at + 46, at + 46 + name), how === 8 ? inflateRawSync(packed) : packed);
        at += 46 + name + extra + comment;
    }
    return files;
}

/** What is done on a photo that is open. */
export class OnPhoto {
    #session;

    /** @param {import('./screens.mjs').Screens} screens */
    constructor(screens) {
        this.screens = screens;
        this.stage = screens.one('photo-stage');
    }

    /** Where a place of the photo is on the page, while the photo is seen whole. */
    async pixel({ x, y }, { width, height }) {
        const box = await this.stage.boundingBox();
        const fits = Math.min(box.width / width, box.height / height);
        return { x: box.x + box.width / 2 + (x - 0.5) * width * fits, y: box.y + box.height / 2 + (y - 0.5) * height * fits, fits };
    }

    /** Lays a finger (or presses the mouse) on a pixel, pulls it to another one, and waits there before it is lifted. */
    async pull(from, to, isTouched, { still = 0, before = async () => {} } = {}) {
        const { page } = this.screens;
        await this.#down(from, isTouched);
        if (still > 0) await page.waitForTimeout(still);
        for (let part = 1; part <= 4; part += 1) {
            await this.#moveTo({ x: from.x + ((to.x - from.x) * part) / 4, y: from.y + ((to.y - from.y) * part) / 4 }, isTouched);
        }
        await before();
        await this.#lift(isTouched);
    }

    async #down(at, isTouched) {
        if (isTouched) return this.#touch('touchStart', [at]);
        await this.screens.page.mouse.move(at.x, at.y);
        await this.screens.page.mouse.down();
    }
    async #moveTo(at, isTouched) {
        if (isTouched) return this.#touch('touchMove', [at]);
        await this.screens.page.mouse.move(at.x, at.y);
    }
    async #lift(isTouched) {
        if (isTouched) return this.#touch('touchEnd', []);
        await this.screens.page.mouse.up();
    }

    /** Two fingers spread from each other, or pinch, about a pixel. */
    async spread(at, from, to) {
        const fingers = (apart) => [-1, 1].map((side, id) => ({ x: at.x + (side * apart) / 2, y: at.y, id }));
        await this.#touch('touchStart', fingers(from));
        for (let part = 1; part <= 6; part += 1) await this.#touch('touchMove', fingers(from + ((to - from) * part) / 6));
        await this.#touch('touchEnd', []);
    }

    async #touch(type, touchPoints) {
        const { page } = this.screens;
        this.#session ??= await page.context().newCDPSession(page);
        await this.#session.send('Input.dispatchTouchEvent', { type, touchPoints });
    }

    /** Where the cross is, and which place of the picture stands in the middle of the loupe. */
    async loupe() {
        return this.screens.one('photo-cross').evaluate((cross) => {
            const glass = cross.querySelector('.loupe').getBoundingClientRect();
            const picture = cross.querySelector('.loupe img').getBoundingClientRect();
            return {
                cross: { x: Number(cross.dataset.x), y: Number(cross.dataset.y) },
                middle: {
                    x: (glass.left + glass.width / 2 - picture.left) / picture.width,
                    y: (glass.top + glass.height / 2 - picture.top) / picture.height,
                },
                larger: picture.width / document.querySelector('[data-testid="photo-stage"] .picture').getBoundingClientRect().width,
                glass: { left: glass.left, top: glass.top, right: glass.right, bottom: glass.bottom },
            };
        });
    }

    /** Which place of the photo is in the middle of the glass. */
    middle() {
        return this.stage.evaluate((stage) => {
            const glass = stage.getBoundingClientRect();
            const picture = stage.querySelector('.picture').getBoundingClientRect();
            return {
                x: (glass.left + glass.width / 2 - picture.left) / picture.width,
                y: (glass.top + glass.height / 2 - picture.top) / picture.height,
            };
        });
    }

    /** Says which point is under the cross. */
    async name(label) {
        const { screens } = this;
        await screens.touch('photo-set-pin');
        await screens.one('point-search').fill(label);
        await screens.touch(screens.one('point-choice', `[data-label="${label}"]`));
        await screens.one('photo-pin', `[data-label="${label}"]`).waitFor();
        await screens.settled();
    }
}
