// How each kind of line and mark is drawn, the same on the flat sheet and in space. Widths and dashes in px.

/** Tokens of the look that the drawing is made of. */
export const INKS = ['ground', 'ink', 'ink2', 'edge', 'rule', 'sheet', 'key', 'wash', 'dye', 'suspect', 'unclear', 'unchecked', 'loose'] as const;
export type Ink = (typeof INKS)[number];

export interface StrokeStyle {
    ink: Ink;
    /** Far from the eye, near it. */
    width: readonly [number, number];
    opacity: readonly [number, number];
    /** Drawn, left out, drawn, left out. */
    dash?: readonly [number, number, number, number];
    /** Arrowheads, at the end or at both. */
    arrows?: 'end' | 'both';
}

const even = (ink: Ink, width: number, more: Partial<StrokeStyle> = {}): StrokeStyle => ({
    ink,
    width: [width, width],
    opacity: [1, 1],
    ...more,
});

/** Each doubt has a line of its own: long dashes, dash and dot, dots, arrows. */
export const STROKES = {
    floor: even('rule', 1, { opacity: [0.75, 0.75] }),
    'mid-plane': even('unchecked', 1.4, { dash: [7, 5, 7, 5] }),
    pair: even('edge', 1.2, { dash: [2, 4, 2, 4] }),
    faint: even('ink2', 0.8, { opacity: [0.17, 0.3] }),
    /** A reading while others are left out. */
    plain: even('ink2', 1.4, { opacity: [0.65, 0.9] }),
    aside: even('edge', 1.2, { dash: [1.5, 7, 1.5, 7] }),
    outline: { ink: 'ink', width: [1.3, 2.8], opacity: [0.55, 1] },
    /** Under the near edges, so that what is behind them falls back. */
    'outline-halo': even('sheet', 5),
    before: { ink: 'ink2', width: [0.8, 1.2], opacity: [0.6, 0.9] },
    halo: even('sheet', 6.4),
    picked: even('dye', 2.8),
    distance: even('dye', 2.8, { dash: [12, 6, 12, 6] }),
    suspect: even('suspect', 3.6, { dash: [11, 6, 11, 6] }),
    unclear: even('unclear', 3, { dash: [10, 4, 2.5, 4] }),
    unchecked: even('unchecked', 2.4, { dash: [2.6, 5, 2.6, 5] }),
    'look-again': even('unclear', 1.8, { dash: [22, 4, 22, 4] }),
    loose: even('loose', 2.6, { arrows: 'both' }),
    'two-places': even('loose', 1.8, { dash: [3, 3, 3, 3] }),
    moved: even('ink', 4, { arrows: 'end' }),
    /** From call-outs to what they speak of. */
    'leader-suspect': even('suspect', 1.6),
    'leader-unclear': even('unclear', 1.6),
    'leader-unchecked': even('unchecked', 1.6),
    'leader-loose': even('loose', 1.6),
    ahead: even('ink2', 2.2, { arrows: 'end' }),
    'ahead-feather': even('ink2', 2.2),
    'moved-unclear': even('unclear', 2.6, { dash: [10, 4, 2.5, 4], arrows: 'end' }),
} as const satisfies Record<string, StrokeStyle>;
export type StrokeName = keyof typeof STROKES;
export const STROKE_NAMES = Object.keys(STROKES) as StrokeName[];
export const strokeStyle = (name: StrokeName): StrokeStyle => STROKES[name];

/** What a face is filled with, seen from above and from a side, and how densely. */
export const FACES = { above: 'key', aside: 'ground', opacity: 0.5 } as const satisfies { above: Ink; aside: Ink; opacity: number };

/** Length of an arrowhead and half its width. */
export const ARROW = { long: 11, half: 6.5 } as const;

export interface PrickStyle {
    /** Radius and ink of the dot; none where there is none. */
    dot: number;
    dotInk: Ink;
    /** Radius of a ring where there is no ellipse; 0 for none. */
    ring: number;
    ringWidth: number;
    ringInk: Ink;
    /** What the ellipse or ring is filled with, and how densely. */
    fill: Ink;
    fillOpacity: number;
}

const prick = (more: Partial<PrickStyle> = {}): PrickStyle => ({
    dot: 2.6,
    dotInk: 'ink',
    ring: 0,
    ringWidth: 1.2,
    ringInk: 'edge',
    fill: 'sheet',
    fillOpacity: 0.8,
    ...more,
});

export const PRICKS = {
    fixed: prick(),
    /** The dot in a dye ring, whatever its ellipse is. */
    picked: prick({ dot: 5, dotInk: 'dye', ring: 10.5, ringWidth: 2.4, ringInk: 'dye', fill: 'wash', fillOpacity: 0.95 }),
    loose: prick({ dot: 5.5, dotInk: 'loose' }),
    'two-places': prick({ dot: 2.2, dotInk: 'loose', ring: 6.5, ringWidth: 2.4, ringInk: 'loose', fillOpacity: 1 }),
    'other-place': prick({ dot: 0, ring: 6.5, ringWidth: 2.4, ringInk: 'loose', fillOpacity: 1 }),
    /** Only the rough place that was typed. */
    rough: prick({ dot: 0, ring: 4, ringWidth: 1.6, ringInk: 'ink2', fillOpacity: 1 }),
    before: prick({ dot: 1.6, dotInk: 'ink2' }),
    /** Where leaders end. */
    'end-suspect': prick({ dot: 3.2, dotInk: 'suspect' }),
    'end-unclear': prick({ dot: 3.2, dotInk: 'unclear' }),
    'end-unchecked': prick({ dot: 3.2, dotInk: 'unchecked' }),
    'end-loose': prick({ dot: 3.2, dotInk: 'loose' }),
    'ahead-towards': prick({ dot: 3, dotInk: 'ink2', ring: 9, ringWidth: 2.2, ringInk: 'ink2' }),
    'ahead-away': prick({ dot: 0, ring: 9, ringWidth: 2.2, ringInk: 'ink2', fillOpacity: 0 }),
} as const satisfies Record<string, PrickStyle>;
export type PrickName = keyof typeof PRICKS;
export const PRICK_NAMES = Object.keys(PRICKS) as PrickName[];
