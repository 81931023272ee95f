// Sentences with lengths in them. A catalogue writes phrases; Say.svelte sets them, fractions built up.

/** A piece of a sentence: words, or something that is set. */
export type Piece =
    | string
    | { length: number; up?: boolean; unit?: 'in' | 'mm' }
    | { angle: number; up?: boolean }
    | { name: string }
    | { typed: string }
    | { half: number; unit?: 'in' | 'mm' };

export type Phrase = readonly Piece[];

/** A length in mm; `up` never writes it too small. */
export const length = (mm: number, up = false): Piece => ({ length: mm, up });

/** A length that is shown in mm whatever the job is in: what an instrument does is finer than its marks. */
export const inMm = (mm: number): Piece => ({ length: mm, unit: 'mm' });

/** An angle in degrees. */
export const angle = (deg: number, up = false): Piece => ({ angle: deg, up });

/** The name of a point, a reading, a person. */
export const name = (text: string): Piece => ({ name: text });

/** A value as somebody typed it, set as a length where it reads as one. */
export const typed = (text: string): Piece => ({ typed: text });

/** ± of a length: half the width of its 95 % band, in mm, never too small. */
export const half = (mm: number): Piece => ({ half: mm });

/** The same, shown in mm. */
export const halfInMm = (mm: number): Piece => ({ half: mm, unit: 'mm' });

/** A sentence: `say\`Off by ${length(25.4)} long.\`` */
export function say(texts: TemplateStringsArray, ...between: (Piece | Phrase | number)[]): Phrase {
    const phrase: Piece[] = [];
    texts.forEach((text, index) => {
        if (text !== '') phrase.push(text);
        const piece = between[index];
        if (piece === undefined) return;
        if (typeof piece === 'number') phrase.push(String(piece));
        else if (Array.isArray(piece)) phrase.push(...(piece as Phrase));
        else phrase.push(piece as Piece);
    });
    return phrase;
}

/** Several phrases one after the other. */
export function joined(phrases: readonly Phrase[], between: string, last = between): Phrase {
    return phrases.flatMap((phrase, index) => {
        if (index === 0) return [...phrase];
        return [index === phrases.length - 1 ? last : between, ...phrase];
    });
}
