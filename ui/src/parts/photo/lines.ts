// What was read between the pins of a photo, as lines on it.

import type { PhotoLine, ReadingLine } from '../../gen/wire';
import type { MarkName } from '../icons';
import type { Place } from './view';

export interface Line {
    /** The reading. */
    name: string;
    points: readonly string[];
    places: readonly Place[];
    /** How it stands, drawn: empty is a solid line. */
    dashes: string;
    /** Whether it hangs on a point that is picked. */
    isPicked: boolean;
}

/** As on every drawing: suspects in long dashes, unclear ones dash and dot, unchecked ones dotted. */
const DASHES: Partial<Record<MarkName, string>> = { suspect: '14 7', unclear: '12 5 2 5', unchecked: '2 5' };

/** Readings that run from pin to pin, without those that were set aside. */
export function linesOn(
    photo: PhotoLine,
    readings: readonly ReadingLine[],
    markOf: (reading: ReadingLine) => MarkName | null,
    picked: readonly string[],
): Line[] {
    const places = new Map(photo.pins.filter((pin) => pin.point !== '').map((pin) => [pin.point, { x: pin.x, y: pin.y }]));
    return readings.flatMap((reading) => {
        // A string and a face run to no second point, but to a line or a plane between them.
        const isLine = ['tape', 'slope', 'rise', 'corner'].includes(reading.kind);
        const mark = markOf(reading);
        const on = reading.points.flatMap((label) => places.get(label) ?? []);
        if (!isLine || mark === 'set-aside' || on.length < 2 || on.length < reading.points.length) return [];
        const isPicked = reading.points.some((label) => picked.includes(label));
        return [{ name: reading.name, points: reading.points, places: on, dashes: (mark && DASHES[mark]) ?? '', isPicked }];
    });
}
