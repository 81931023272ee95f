// Which photos are shown, and in which order.

import type { PhotoLine, ReadingLine } from '../../gen/wire';

/** What photos are asked for. */
export type About = { point: string } | { reading: string };

/** Photos that are in use, the newest first. */
export function inUse(photos: readonly PhotoLine[]): PhotoLine[] {
    return photos.filter((photo) => !photo.removed).toReversed();
}

/** Whether a point is pinned on a photo. */
export function shows(photo: PhotoLine, label: string): boolean {
    return label !== '' && photo.pins.some((pin) => pin.point === label);
}

/**
 * The photos of a point or a reading: those taken of it first, then those on which it is pinned; of a reading, those
 * that show two of its points or more. Newest first.
 */
export function photosOf(photos: readonly PhotoLine[], about: About, reading?: ReadingLine): PhotoLine[] {
    const all = inUse(photos);
    const isOf = (photo: PhotoLine): boolean =>
        'point' in about ? photo.point === about.point : photo.reading === about.reading;
    const points = reading?.points ?? [];
    const isShown = (photo: PhotoLine): boolean =>
        'point' in about ? shows(photo, about.point) : points.filter((label) => shows(photo, label)).length > 1;
    return [...all.filter(isOf), ...all.filter((photo) => !isOf(photo) && isShown(photo))];
}

/**
 * Photos to pick a point on: with pins and here to be seen; those that show most of what was picked already first, then
 * those with more to pick, then the newest.
 */
export function toPickOn(photos: readonly PhotoLine[], picked: readonly string[]): PhotoLine[] {
    const others = (photo: PhotoLine): number => picked.filter((label) => shows(photo, label)).length;
    const left = (photo: PhotoLine): boolean => photo.pins.some((pin) => pin.point !== '' && !picked.includes(pin.point));
    return inUse(photos)
        .filter((photo) => photo.here && photo.pins.some((pin) => pin.point !== ''))
        .map((photo, index) => ({ photo, index }))
        .sort((a, b) => others(b.photo) - others(a.photo) || Number(left(b.photo)) - Number(left(a.photo)) || a.index - b.index)
        .map(({ photo }) => photo);
}

/** Labels to offer for a pin: what the photo is of, what was read lately, the rest; those that it shows already last. */
export function toPin(photo: PhotoLine, labels: readonly string[], readings: readonly ReadingLine[]): string[] {
    const of = readings.find((reading) => reading.name === photo.reading)?.points ?? [];
    const lately = readings.toReversed().flatMap((reading) => reading.points);
    const likely = [photo.point ?? '', ...of, ...lately, ...labels].filter((label) => labels.includes(label));
    const once = [...new Set(likely)];
    return [...once.filter((label) => !shows(photo, label)), ...once.filter((label) => shows(photo, label))];
}
