// What the pad builds key by key: a text as people write it, that the desk reads by its own rules.

import { reduced } from './length';

export type PadUnit = 'in' | 'mm' | 'cm' | 'deg';

/** What stands on the pad. The text is the truth; the rest follows from it. */
export interface Typed {
    /** Feet that were closed by the key "ft"; empty where there are none. */
    feet: string;
    /** The figure before a fraction, with a point where one was typed. */
    figure: string;
    /** The fraction in its marks; nothing where none was keyed. */
    marks: { over: number; under: number } | null;
    negative: boolean;
    unit: PadUnit;
}

export function nothingTyped(unit: PadUnit): Typed {
    return { feet: '', figure: '', marks: null, negative: false, unit };
}

export function isEmpty(typed: Typed): boolean {
    return typed.feet === '' && typed.figure === '' && typed.marks === null;
}

/** The text that is logged: `42 3/8 in`, `3 ft 4 5/8 in`, `1076 mm`, `12.4 deg`. */
export function textOf(typed: Typed): string {
    if (isEmpty(typed)) return '';
    const fraction = typed.marks ? `${typed.marks.over}/${typed.marks.under}` : '';
    const minus = typed.negative ? '-' : '';
    const figure = [typed.figure.replace(/[.]$/, ''), fraction].filter(Boolean).join(' ');
    if (typed.feet === '') return `${minus}${figure} ${typed.unit}`;
    return figure === '' ? `${minus}${typed.feet}'` : `${minus}${typed.feet}' ${figure}"`;
}

const LONGEST = 7;

/** A digit key. */
export function digit(typed: Typed, key: string): Typed {
    // A fraction closes the figure: a digit after it begins the next one.
    if (typed.marks) return { ...nothingTyped(typed.unit), figure: key, negative: typed.negative };
    if (typed.figure.length >= LONGEST) return typed;
    const figure = typed.figure === '0' ? key : typed.figure + key;
    return { ...typed, figure };
}

/** The decimal point. */
export function point(typed: Typed): Typed {
    if (typed.marks || typed.figure.includes('.')) return typed;
    return { ...typed, figure: `${typed.figure === '' ? '0' : typed.figure}.` };
}

/** A fraction on the blade; the same again takes it off. */
export function fraction(typed: Typed, over: number, under: number): Typed {
    if (typed.figure.includes('.')) return typed;
    const [a, b] = reduced(over, under);
    const same = typed.marks?.over === a && typed.marks.under === b;
    return { ...typed, marks: same || over === 0 ? null : { over: a, under: b } };
}

/** One mark up or down, over the inch too. */
export function step(typed: Typed, by: 1 | -1, graduation: number): Typed {
    if (typed.figure.includes('.')) return typed;
    const whole = Number(typed.figure || '0');
    const marks = typed.marks ? (typed.marks.over * graduation) / typed.marks.under : 0;
    const steps = Math.max(0, Math.round(whole * graduation + marks + by));
    const inches = Math.floor(steps / graduation);
    const [over, under] = reduced(steps - inches * graduation, graduation);
    const keepsZero = typed.figure !== '' || inches > 0;
    return { ...typed, figure: keepsZero ? String(inches) : '', marks: over > 0 ? { over, under } : null };
}

/** What stands there are feet. */
export function feet(typed: Typed): Typed {
    if (typed.feet !== '') return { ...typed, feet: '', figure: typed.figure || typed.feet };
    if (typed.figure === '' || typed.figure.includes('.') || typed.marks) return typed;
    return { ...typed, feet: typed.figure, figure: '' };
}

/** Takes the last key back. */
export function erase(typed: Typed): Typed {
    if (typed.marks) return { ...typed, marks: null };
    if (typed.figure !== '') return { ...typed, figure: typed.figure.slice(0, -1) };
    if (typed.feet !== '') return { ...typed, feet: '', figure: typed.feet };
    return { ...typed, negative: false };
}

/** The same keys in another unit: what is typed is never converted, only what it is taken for. */
export function inUnit(typed: Typed, unit: PadUnit): Typed {
    const keepsMarks = unit === 'in';
    return { ...typed, unit, marks: keepsMarks ? typed.marks : null, feet: keepsMarks ? typed.feet : '' };
}

/** A text such as `42 3/8 in` back on the pad, where the pad can show it. */
export function typedOf(text: string, unit: PadUnit): Typed | null {
    const clean = text.trim().replace(',', '.');
    const found =
        /^(-?)(?:(\d+)\s*(?:'|ft)\s*)?(\d+(?:\.\d*)?)?(?:[\s-]*(\d+)\/(\d+))?\s*(in|"|mm|cm|deg|°)?$/.exec(clean);
    if (!found) return null;
    const [, minus, ft = '', figure = '', over, under, suffix] = found;
    const of = suffix === '"' ? 'in' : suffix === '°' ? 'deg' : (suffix as PadUnit | undefined);
    const marks = over && under && Number(under) > 0 ? reduced(Number(over), Number(under)) : null;
    const typed: Typed = {
        feet: ft,
        figure,
        marks: marks ? { over: marks[0], under: marks[1] } : null,
        negative: minus === '-',
        unit: ft !== '' ? 'in' : (of ?? unit),
    };
    return isEmpty(typed) ? null : typed;
}

/** The figure as it is shown while it is typed: with the point or comma of the country, the degree sign at once. */
export function asWritten(typed: Typed, separator: string): string {
    const figure = typed.unit === 'in' ? typed.figure : typed.figure.replace('.', separator);
    return typed.unit === 'deg' && figure !== '' ? `${figure}°` : figure;
}
