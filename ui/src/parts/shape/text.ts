// How wide a name is as it stands on the drawing.

const known = new Map<string, number>();
let pen: CanvasRenderingContext2D | null = null;

/** The lettering of a name; what is picked is heavier. */
export const fontOf = (rem: number, isPicked: boolean): string =>
    `${isPicked ? 750 : 550} ${16 * rem}px Archivo, 'DejaVu Sans Condensed', sans-serif`;

/** In px, at the size of text that the device has. */
export function widthOf(text: string, rem: number, isPicked: boolean): number {
    const key = `${isPicked} ${rem} ${text}`;
    let width = known.get(key);
    if (width === undefined) {
        pen ??= document.createElement('canvas').getContext('2d');
        if (pen) pen.font = fontOf(rem, isPicked);
        width = pen ? Math.ceil(pen.measureText(text).width) : text.length * 9 * rem;
        known.set(key, width);
    }
    return width;
}
