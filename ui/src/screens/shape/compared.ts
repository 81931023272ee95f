// Two epochs in one drawing: what was before thin, what is after heavy, an arrow from the one to the other where a point moved.

import type { EpochsCompared } from '../../gen/wire';
import { SHOWN_AT_FIRST, type Scene, sceneOf, type Stroke } from '../../parts/shape/scene';
import { ALL_LINES } from '../../parts/shape/filter';
import { plus, size, times, type Vec } from '../../parts/shape/vector';
import type { Unit } from '../../numbers/length';

export type Moved = EpochsCompared['points'][number];

/** The points in three lots, what moved most surely first. */
export function lotsOf({ points }: EpochsCompared): { moved: Moved[]; unclear: Moved[]; still: Moved[] } {
    const surest = [...points].sort((a, b) => b.chi_square - a.chi_square || (a.label < b.label ? -1 : 1));
    return {
        moved: surest.filter(({ moved }) => moved),
        unclear: surest.filter(({ moved, unclear }) => unclear && !moved),
        still: surest.filter(({ moved, unclear }) => !moved && !unclear),
    };
}

/** The points that are not compared, by why. */
export function notComparedOf({ not_compared }: EpochsCompared): [string, string[]][] {
    const by = new Map<string, string[]>();
    for (const { label, why } of not_compared) by.set(why, [...(by.get(why) ?? []), label]);
    return [...by];
}

const FACTORS = [1, 2, 3, 5, 10, 20, 30, 50, 100, 200];
/** The longest arrow as a share of the shell's size. */
const LONGEST = 0.1;

/** How much longer arrows are drawn, so that they are seen beside the shell. */
export function arrowsTimes({ points, shape }: EpochsCompared): number {
    const longest = Math.max(0, ...points.filter(({ moved, unclear }) => moved || unclear).map(({ distance_mm }) => distance_mm));
    const extent = shape.box ? size(plus(shape.box.high, times(shape.box.low, -1))) : 0;
    if (longest === 0 || extent === 0) return 1;
    return FACTORS.findLast((factor) => factor * longest <= LONGEST * extent) ?? 1;
}

export function comparedScene(compared: EpochsCompared, picked: string | null, unit: Unit): Scene {
    const { shape, points } = compared;
    const shown = { ...SHOWN_AT_FIRST, readings: false, ellipsoids: false, doubts: false };
    const scene = sceneOf(shape, shown, ALL_LINES, { points: picked === null ? [] : [picked], reading: null }, unit);
    const factor = arrowsTimes(compared);
    const before = new Map<string, Vec>(points.map((point) => [point.label, point.before]));
    const thin: Stroke[] = shape.outline.flatMap(([one, other]) => {
        const [a, b] = [before.get(one), before.get(other)];
        return a && b ? [{ a, b, style: 'before' }] : [];
    });
    const arrows: Stroke[] = points.flatMap(({ before: a, shift_mm, moved, unclear }): Stroke[] => {
        const arrow = { a, b: plus(a, times(shift_mm, factor)) };
        return moved || unclear ? [{ ...arrow, style: 'halo' }, { ...arrow, style: moved ? 'moved' : 'moved-unclear' }] : [];
    });
    const changed = new Set(points.filter(({ moved, unclear }) => moved || unclear).map(({ label }) => label));
    const compares = new Set(points.map(({ label }) => label));
    return {
        ...scene,
        // Both shells are seen whole.
        faces: [],
        over: [...thin, ...arrows],
        // What cannot be compared is a ring without a dot.
        pricks: scene.pricks.map((prick) => ({
            ...prick,
            style: compares.has(prick.label) || prick.style === 'picked' ? prick.style : 'rough',
            // Their names come first.
            isDoubted: changed.has(prick.label),
        })),
        flags: [],
    };
}
