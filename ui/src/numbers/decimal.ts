// Decimal numbers as the crew's country writes them. No separator between thousands: a tape has none.

export type Decimals = 'device' | 'point' | 'comma';

/** A decimal number with so many places, a real minus before it where it is negative. */
export function decimal(value: number, places: number, style: Decimals): string {
    const size = fixed(Math.abs(value), places);
    const minus = value < 0 && Number(size) !== 0 ? '−' : '';
    return minus + (usesComma(style) ? size.replace('.', ',') : size);
}

/** The desk's own rounding: to the nearest, an exact half to the even digit. */
export function fixed(size: number, places: number): string {
    // A double has no more digits than this, so that a half is seen to be exact.
    const digits = size.toFixed(Math.min(100, places + 60));
    const cut = digits.length - 60;
    const isHalf = /^50*$/.test(digits.slice(cut));
    const below = places === 0 ? digits.slice(0, cut - 1) : digits.slice(0, cut);
    return isHalf && Number(below.at(-1)) % 2 === 0 ? below : size.toFixed(places);
}

/** Whether decimals are written with a comma. */
export function usesComma(style: Decimals): boolean {
    if (style !== 'device') return style === 'comma';
    const parts = new Intl.NumberFormat().formatToParts(0.5);
    return parts.some((part) => part.type === 'decimal' && part.value === ',');
}
