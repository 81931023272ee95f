// What was read between the pins of a photo, as lines on it.

import type { PhotoLine, ReadingLine } from '../../gen/wire';
import type { MarkName } from '../icons';
import type { StrokeName } from '../shape/styles';
import type { Place } from './view';

export interface Line {
    /** The reading. */
    name: string;
    points: readonly string[];
    places: readonly Place[];
    /** How it stands, as on every drawing. */
    stroke: StrokeName;
    /** Whether it hangs on a point that is picked. */
    isPicked: boolean;
}

const STROKES: Partial<Record<MarkName, StrokeName>> = {
    suspect: 'suspect',
    unclear: 'unclear',
    unchecked: 'unchecked',
    'look-again': 'look-again',
};

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
        return [{ name: reading.name, points: reading.points, places: on, stroke: (mark && STROKES[mark]) ?? 'plain', isPicked }];
    });
}
