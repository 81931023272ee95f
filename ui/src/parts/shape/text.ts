// How wide a name is as it stands on the drawing.

const known = new Map<string, number>();
let pen: CanvasRenderingContext2D | null = null;

/** In px, at the size of text that the device has. */
export function widthOf(text: string, rem: number): number {
    const key = `${rem} ${text}`;
    let width = known.get(key);
    if (width === undefined) {
        pen ??= document.createElement('canvas').getContext('2d');
        if (pen) pen.font = `550 ${16 * rem}px Archivo, 'DejaVu Sans Condensed', sans-serif`;
        width = pen ? Math.ceil(pen.measureText(text).width) : text.length * 9 * rem;
        known.set(key, width);
    }
    return width;
}
