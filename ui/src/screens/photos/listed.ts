// Which photos the room lists.

import type { PhotoLine, ReadingLine } from '../../gen/wire';
import { type About, inUse, photosOf } from '../../parts/photo/choice';
import { nameOf } from '../../parts/photo/names';

export const FILTERS = ['all', 'bare', 'removed'] as const;
export type Filter = (typeof FILTERS)[number];

/** The newest first; removed ones only where they are asked for. */
export function listed(
    photos: readonly PhotoLine[],
    filter: Filter,
    search: string,
    about: About | null,
    reading?: ReadingLine,
): PhotoLine[] {
    const words = search.toLowerCase().split(/\s+/).filter(Boolean);
    const from =
        filter === 'removed'
            ? photos.filter((photo) => photo.removed).toReversed()
            : about
              ? photosOf(photos, about, reading)
              : inUse(photos);
    return from
        .filter((photo) => filter !== 'bare' || photo.pins.length === 0)
        .filter((photo) => {
            const said = [nameOf(photo), photo.file, photo.point, photo.reading, ...photo.pins.flatMap((pin) => [pin.point, pin.note])];
            const all = said.join(' ').toLowerCase();
            return words.every((word) => all.includes(word));
        });
}
