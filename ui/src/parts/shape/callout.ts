// What is called out on the drawing: the gravest doubts, each where it is.

import type { Doubt, ReadingLine, ShapeShown } from '../../gen/wire';
import { w } from '../../words';
import type { Phrase } from '../../words/phrase';
import type { MarkName } from '../icons';
import { markOfDoubt } from '../marks';
import { along, placesOf } from './scene';
import { middle, type Vec } from './vector';

export interface Callout {
    /** The doubt by its place in the list. */
    key: string;
    mark: MarkName;
    phrase: Phrase;
    at: Vec;
}

/** The doubts that have a place on the shell, the gravest first. What is not read has none. */
export function calloutsOf(shape: ShapeShown, doubts: readonly Doubt[], reading: (name: string) => ReadingLine | undefined): Callout[] {
    const at = placesOf(shape);
    const lines = new Map(shape.lines.map((line) => [line.reading, line]));
    return doubts.flatMap((doubt, index) => {
        if (doubt.kind === 'not-read') return [];
        const path = doubt.readings.map((name) => lines.get(name)?.path ?? []).find((one) => one.length > 1);
        const point = [doubt.pair?.right, ...doubt.points].find((label) => label !== undefined && at.has(label));
        const isOfPoint = doubt.kind === 'loose' || doubt.kind === 'two-places' || doubt.kind === 'not-straight';
        const onLine = doubt.kind === 'suspect' ? along : middle;
        const place = path && !isOfPoint ? onLine(path[0]!, path[1]!) : point !== undefined ? at.get(point) : undefined;
        if (!place) return [];
        return [{ key: String(index), mark: markOfDoubt(doubt.kind), phrase: w.shape.callout(doubt, reading), at: place }];
    });
}
