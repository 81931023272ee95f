// Icons on a grid of 24: lines of 2 px with square ends, at most one filled part. Each stands beside its word.

export interface Drawing {
    lines?: string;
    /** Filled parts. */
    fill?: string;
    dashed?: string;
    width?: number;
}

export const ICONS = {
    measure: { lines: 'M3 5v14M21 5v14M3 12h18M8 12V9M12 12V7M16 12V9' },
    shape: { lines: 'M3 17 8 8h8l5 9zM8 8l8 9M16 8l-8 9' },
    doubts: { lines: 'M6 22V3', fill: 'M6 4h13l-4 4.5 4 4.5H6z' },
    points: { lines: 'M4 19 12 6l8 13M4 19h16', fill: 'M12 3a3 3 0 1 1 0 6 3 3 0 0 1 0-6z' },
    readings: { lines: 'M4 5h16M4 12h16M4 19h16M9 5v14' },
    start: { lines: 'M5 3h14v18H5zM9 8h6M9 12h6M9 16h3' },
    'hand-off': { lines: 'M13 4H4v16h16v-7M11 13 21 3M14 3h7v7' },
    more: { lines: 'M4 6h16M4 12h11M4 18h6' },
    jobs: { lines: 'M3 7h7l2 3h9v10H3zM3 7V4h7' },
    instruments: { lines: 'M3 9h18v6H3zM7 9v3M11 9v3M15 9v3M19 9v2' },
    history: { lines: 'M12 6v6l4 2M4 12a8 8 0 1 0 3-6M4 4v4h4' },
    settings: { lines: 'M4 7h10M18 7h2M4 17h2M10 17h10M16 4v6M8 14v6' },
    down: { lines: 'm5 9 7 7 7-7' },
    right: { lines: 'm9 5 7 7-7 7' },
    left: { lines: 'm15 5-7 7 7 7' },
    swap: { lines: 'M8 4v15M4 15l4 4.5L12 15M16 20V5M12 9l4-4.5L20 9' },
    erase: { lines: 'M9 5h12v14H9L3 12zM12 9l6 6M18 9l-6 6' },
    undo: { lines: 'M4 10h11a5 5 0 0 1 0 10H9M9 4.5 3.5 10 9 15.5' },
    redo: { lines: 'M20 10H9a5 5 0 0 0 0 10h6M15 4.5l5.5 5.5-5.5 5.5' },
    add: { lines: 'M12 4v16M4 12h16' },
    close: { lines: 'M5 5l14 14M19 5 5 19' },
    tick: { lines: 'm4 12.5 5.5 5.5L20 6' },
    search: { lines: 'M10 4a6 6 0 1 1 0 12 6 6 0 0 1 0-12zM14.5 14.5 21 21' },
    print: { lines: 'M7 9V3h10v6M7 18H3V9h18v9h-4M7 14h10v7H7z' },
    arrow: { lines: 'M3 12h17M14 6l6 6-6 6' },
    photos: { lines: 'M3 7h5l2-3h4l2 3h5v13H3z', fill: 'M12 9.500a4 4 0 1 1 0 8 4 4 0 0 1 0-8zm0 2a2 2 0 1 0 0 4 2 2 0 0 0 0-4z' },
    minus: { lines: 'M4 12h16' },
    whole: { lines: 'M4 9V4h5M15 4h5v5M20 15v5h-5M9 20H4v-5' },
    up: { lines: 'm5 15 7-7 7 7' },
    eye: { lines: 'M2 12c5-8 15-8 20 0-5 8-15 8-20 0z', fill: 'M12 9a3 3 0 1 1 0 6 3 3 0 0 1 0-6z' },
} as const satisfies Record<string, Drawing>;
export type IconName = keyof typeof ICONS;

/** Each kind of doubt has a silhouette of its own, the same in a list, on a line and on paper. */
export const MARKS = {
    fits: { fill: 'M12 2.5a9.5 9.5 0 1 1 0 19 9.5 9.5 0 0 1 0-19zM6.6 13.4l4.100 4.2 7-8.100-1.900-1.700-5.300 6.100-2-2.100z' },
    suspect: { lines: 'M5 23V2', fill: 'M5 2.5h17l-5 5.5 5 5.5H5z', width: 2.6 },
    unclear: { lines: 'M8.5 5.5a6.5 6.5 0 1 1 0 13 6.5 6.5 0 0 1 0-13zM15.5 5.5a6.5 6.5 0 1 1 0 13 6.5 6.5 0 0 1 0-13z' },
    unchecked: { dashed: 'M12 3.2a8.800 8.800 0 1 1 0 17.6 8.800 8.800 0 0 1 0-17.6z', width: 2.6 },
    loose: { lines: 'M1.5 12h6M16.5 12h6M5 8l-4 4 4 4M19 8l4 4-4 4', fill: 'M12 8.6a3.4 3.4 0 1 1 0 6.800 3.4 3.4 0 0 1 0-6.800z' },
    'two-places': { lines: 'M12 1.5a4 4 0 1 1 0 8 4 4 0 0 1 0-8zM12 14.5a4 4 0 1 1 0 8 4 4 0 0 1 0-8z', dashed: 'M2 12h20' },
    differs: { lines: 'M4 8.5h16M4 15.5h16M16 3 8 21' },
    'not-straight': { lines: 'M9 7H3v9h6M15 10h6v9h-6', dashed: 'M12 2v20' },
    'look-again': { lines: 'M10 4a6 6 0 1 1 0 12 6 6 0 0 1 0-12zM14.5 14.5 21 21' },
    'not-read': { lines: 'M12 1.5v6M12 16.5v6M1.5 12h6M16.5 12h6M12 9.500a2.500 2.500 0 1 1 0 5 2.500 2.500 0 0 1 0-5z' },
    islands: { lines: 'M3 8h7v8H3zM14 8h7v8h-7z', dashed: 'M12 2v20' },
    'mirror-image': { lines: 'M3 6v12l6-6zM21 6v12l-6-6z', dashed: 'M12 2v20' },
    kept: { lines: 'M5 3h14v18l-7-5-7 5z' },
    'set-aside': { lines: 'M4 7h16v4H4zM6 11v9h12v-9M10 15h4' },
} as const satisfies Record<string, Drawing>;
export type MarkName = keyof typeof MARKS;

/** The colour of a mark; never its only sign. */
export const MARK_COLOUR: Record<MarkName, string> = {
    fits: 'fits',
    suspect: 'suspect',
    unclear: 'unclear',
    unchecked: 'unchecked',
    loose: 'loose',
    'two-places': 'loose',
    differs: 'unclear',
    'not-straight': 'unchecked',
    'look-again': 'unclear',
    'not-read': 'unchecked',
    islands: 'loose',
    'mirror-image': 'loose',
    kept: 'unchecked',
    'set-aside': 'unchecked',
};
