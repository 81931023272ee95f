// What a photo and a pin are called where they are shown.

import type { PhotoLine, PinLine } from '../../gen/wire';
import { w } from '../../words';

/** The caption, else what it is of, else its file. */
export function nameOf(photo: PhotoLine): string {
    return w.photos.called(photo.caption, photo.point ?? photo.reading ?? '', photo.file);
}

/** The point, else the note. */
export function nameOfPin(pin: PinLine): string {
    return pin.point || pin.note || w.photos.untied;
}
