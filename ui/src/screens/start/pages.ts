// How the rows of a blank sheet fall on pages. Paper does not scroll: each row's height is counted here.

export const PAPERS = ['a4', 'letter'] as const;
export type Paper = (typeof PAPERS)[number];

/** Width and height of the paper, mm: ISO 216 A4; ANSI/ASME Y14.1 A, which shops call Letter. */
export const SIZE_MM: Record<Paper, { width: number; height: number }> = {
    a4: { width: 210, height: 297 },
    letter: { width: 215.9, height: 279.4 },
};

export const MARGIN_MM = 12;
/** High enough for a hand in a glove, and for two lines of a name. */
export const ROW_MM = 10.5;
/** Title, boxes to fill in and the heads of the columns. */
export const HEAD_MM = 42;
export const FOOT_MM = 9;
/** What the first page says besides. */
export const FIRST_MM = 30;
/** The heading of the rows for other readings. */
export const OTHERS_MM = 10.5;
/** Rows for other readings at least. */
const FEWEST_OTHERS = 3;
/** Letters of 12 pt that one line of a name column holds. */
const LETTERS = 21;
const LINE_MM = 4.9;

/** A page: the numbers of its rows from 0, and how many empty ones for other readings. */
export interface Page {
    rows: number[];
    others: number;
}

/** How high a row is, for the longest of its names. */
export function heightOf(names: readonly string[]): number {
    const lines = Math.max(1, ...names.map((name) => Math.ceil(name.length / LETTERS)));
    return Math.max(ROW_MM, lines * LINE_MM + 1);
}

/** Lays rows of such heights on pages. There is always room for a few other readings. */
export function pagesOf(heights: readonly number[], paper: Paper): Page[] {
    const whole = SIZE_MM[paper].height - 2 * MARGIN_MM - HEAD_MM - FOOT_MM;
    const pages: Page[] = [{ rows: [], others: 0 }];
    let left = whole - FIRST_MM;
    heights.forEach((height, row) => {
        if (height > left) {
            pages.push({ rows: [], others: 0 });
            left = whole;
        }
        pages[pages.length - 1]?.rows.push(row);
        left -= height;
    });
    if (left < OTHERS_MM + FEWEST_OTHERS * ROW_MM) {
        pages.push({ rows: [], others: 0 });
        left = whole;
    }
    const last = pages[pages.length - 1];
    if (last) last.others = Math.floor((left - OTHERS_MM) / ROW_MM);
    return pages;
}
