// Decimal numbers as the crew's country writes them. No separator between thousands: a tape has none.

export type Decimals = 'device' | 'point' | 'comma';

/** A decimal number with so many places, a real minus before it where it is negative. */
export function decimal(value: number, places: number, style: Decimals): string {
    const size = Math.abs(value).toFixed(places);
    const minus = value < 0 && Number(size) !== 0 ? '−' : '';
    return minus + (usesComma(style) ? size.replace('.', ',') : size);
}

/** Whether decimals are written with a comma. */
export function usesComma(style: Decimals): boolean {
    if (style !== 'device') return style === 'comma';
    const parts = new Intl.NumberFormat().formatToParts(0.5);
    return parts.some((part) => part.type === 'decimal' && part.value === ',');
}
