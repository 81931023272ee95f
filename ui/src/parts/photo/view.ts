// What part of a photo is shown, and where its places are on the glass. A view keeps the place in its middle and how
// near it is, so that it holds when the glass is turned or made narrower.

/** A place on a photo: from the left and the top of the upright picture, 0 to 1. */
export interface Place {
    x: number;
    y: number;
}

/** A place on the glass, in px from its left and top. */
export interface Pixel {
    x: number;
    y: number;
}

export interface Size {
    width: number;
    height: number;
}

export interface View {
    /** The place in the middle of the glass. */
    middle: Place;
    /** How many times larger than the whole photo fits. */
    near: number;
}

export const WHOLE: View = { middle: { x: 0.5, y: 0.5 }, near: 1 };

/** Nearer than this, a photo shows nothing but its grain. */
const NEAREST = 16;

/** How large the photo is drawn, in px. */
export function drawn(view: View, photo: Size, glass: Size): Size {
    const fits = Math.min(glass.width / photo.width, glass.height / photo.height);
    return { width: photo.width * fits * view.near, height: photo.height * fits * view.near };
}

export function pixelOf(place: Place, view: View, photo: Size, glass: Size): Pixel {
    const { width, height } = drawn(view, photo, glass);
    return {
        x: glass.width / 2 + (place.x - view.middle.x) * width,
        y: glass.height / 2 + (place.y - view.middle.y) * height,
    };
}

/** The place under a pixel; outside 0 to 1 where the photo does not reach. */
export function placeOf(pixel: Pixel, view: View, photo: Size, glass: Size): Place {
    const { width, height } = drawn(view, photo, glass);
    return {
        x: view.middle.x + (pixel.x - glass.width / 2) / width,
        y: view.middle.y + (pixel.y - glass.height / 2) / height,
    };
}

/** The nearest place that is on the photo. */
export function onPhoto({ x, y }: Place): Place {
    return { x: between(0, x, 1), y: between(0, y, 1) };
}

/** Pushed by so many pixels, as far as there is photo to be shown. */
export function pushed(view: View, photo: Size, glass: Size, by: Pixel): View {
    const { width, height } = drawn(view, photo, glass);
    return held({ ...view, middle: { x: view.middle.x - by.x / width, y: view.middle.y - by.y / height } }, photo, glass);
}

/** Nearer or farther, so that what is under a pixel stays there where it can. */
export function nearer(view: View, photo: Size, glass: Size, times: number, at: Pixel): View {
    const under = placeOf(at, view, photo, glass);
    const next = { ...view, near: between(1, view.near * times, NEAREST) };
    const moved = pixelOf(under, next, photo, glass);
    return pushed(next, photo, glass, { x: at.x - moved.x, y: at.y - moved.y });
}

/** With a place in the middle, as far as there is photo round it. */
export function lookingAt(view: View, photo: Size, glass: Size, place: Place): View {
    return held({ ...view, middle: place }, photo, glass);
}

/** Keeps the photo on the glass: no edge of it comes further in than it must. */
export function held(view: View, photo: Size, glass: Size): View {
    const { width, height } = drawn(view, photo, glass);
    return { ...view, middle: { x: heldAlong(view.middle.x, glass.width / width), y: heldAlong(view.middle.y, glass.height / height) } };
}

/** `shown` is the part of the photo's length that the glass has room for. */
function heldAlong(middle: number, shown: number): number {
    return shown >= 1 ? 0.5 : between(shown / 2, middle, 1 - shown / 2);
}

function between(least: number, value: number, most: number): number {
    return Math.min(most, Math.max(least, value));
}
