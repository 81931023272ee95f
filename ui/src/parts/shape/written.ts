// What is written over the drawing, in px from its left and its top: names, flags, leaders from call-outs, which way ahead is.

import type { PrickName, StrokeName } from './styles';

export interface Written {
    strokes: { style: StrokeName; fromX: number; fromY: number; toX: number; toY: number }[];
    pricks: { style: PrickName; x: number; y: number }[];
    /** Where flags stand. */
    flags: { x: number; y: number }[];
    /** Names by their left upper corner. */
    names: { label: string; x: number; y: number; height: number; isPicked: boolean }[];
    /** How large letters are, 1 for 16 px. */
    rem: number;
}

export const NOTHING_WRITTEN: Written = { strokes: [], pricks: [], flags: [], names: [], rem: 1 };
