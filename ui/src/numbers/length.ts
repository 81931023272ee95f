// Lengths as the crew reads them: inches with a reduced fraction, or millimetres. Nothing is computed here that the
// desk has not computed; a number of millimetres is only written down.

import { fixed } from './decimal';

export type Unit = 'in' | 'mm';

export const INCH_MM = 25.4;

/** A length taken apart for setting: sign, whole figure, fraction, unit. */
export interface Parts {
    negative: boolean;
    /** Empty where there is a fraction alone. */
    whole: string;
    fraction: { over: number; under: number } | null;
    unit: Unit;
}

/** How finely a length is written. */
export interface Fineness {
    /** Marks to an inch: 8, 16, 32 or 64. */
    marks: number;
    /** Decimal places of millimetres. */
    places: number;
}

/** Half the width of a 95 % band over the standard deviation: the 0.975 quantile of the normal distribution. */
export const HALF_WIDTH_95 = 1.96;

/** Takes a length apart, to the nearest mark; `up` never writes it too small. */
export function partsOf(mm: number, unit: Unit, fine: Fineness, up = false): Parts {
    if (unit === 'mm') {
        const step = 10 ** -fine.places;
        const size = up ? Math.ceil(Math.abs(mm) / step - 1e-6) * step : Math.abs(mm);
        const whole = fixed(size, fine.places);
        return { negative: mm < 0 && Number(whole) > 0, whole, fraction: null, unit };
    }
    const step = INCH_MM / fine.marks;
    const size = Math.abs(mm) / step;
    const steps = up ? Math.ceil(size - 1e-6) : Math.round(size + 1e-9);
    const whole = Math.floor(steps / fine.marks);
    const [over, under] = reduced(steps - whole * fine.marks, fine.marks);
    return {
        negative: mm < 0 && steps > 0,
        whole: whole === 0 && over > 0 ? '' : String(whole),
        fraction: over > 0 ? { over, under } : null,
        unit,
    };
}

/** A fraction in its lowest terms: 6/16 is 3/8. */
export function reduced(over: number, under: number): [number, number] {
    let [a, b] = [over, under];
    while (b > 0) [a, b] = [b, a % b];
    return a > 1 ? [over / a, under / a] : [over, under];
}

/** A length in one line of plain text, such as `42 3/8 in`: for what is typed, copied or read by a program. */
export function plain(parts: Parts): string {
    const fraction = parts.fraction ? `${parts.fraction.over}/${parts.fraction.under}` : '';
    const figure = [parts.whole, fraction].filter(Boolean).join(' ');
    return `${parts.negative ? '-' : ''}${figure} ${parts.unit}`;
}
