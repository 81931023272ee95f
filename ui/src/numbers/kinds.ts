// What the kinds of reading need; their words are in the catalogue.

export const KINDS = ['tape', 'rise', 'slope', 'corner', 'string', 'face', 'x', 'y', 'z'] as const;
export type Kind = (typeof KINDS)[number];

const POINTS: Record<Kind, number> = { tape: 2, rise: 2, slope: 2, corner: 3, string: 3, face: 4, x: 1, y: 1, z: 1 };

/** How many points a kind touches. */
export const pointsOf = (kind: Kind): number => POINTS[kind];

export const quantityOf = (kind: Kind): 'length' | 'angle' =>
    kind === 'slope' || kind === 'corner' ? 'angle' : 'length';

/** Whether a minus means something: up or down, ahead or back, left or right. */
export const isSigned = (kind: Kind): boolean => ['rise', 'slope', 'x', 'y', 'z'].includes(kind);

/** Whether an end can be held off the hook on purpose. */
export const takesOffset = (kind: Kind): boolean => ['tape', 'string', 'face'].includes(kind);

/** Whether a word is a kind that can be read. */
export const isKind = (word: string): word is Kind => (KINDS as readonly string[]).includes(word);
