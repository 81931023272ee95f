// What to read next for a point.

import type { Next } from '../gen/wire';

/** The best of the desk's list that has the point; nothing where none has. */
export function nextFor(label: string, next: readonly Next[]): Next | null {
    return next.find((one) => one.point === label) ?? next.find((one) => one.a === label || one.b === label) ?? null;
}
