// The steps of an order under the headings that they stand under.

import type { OrderWire, StepWire } from '../../gen/wire';

/** A step and its number, from 1. */
export interface Numbered {
    number: number;
    step: StepWire;
}

export interface Group {
    kind: 'again' | 'base' | 'level' | 'checks' | 'point';
    /** The point that the lines are read for. */
    point: string | null;
    lines: Numbered[];
}

/** Steps that follow one another for the same point, or for the same reason, are a group. */
export function groupsOf(order: OrderWire): Group[] {
    const groups: Group[] = [];
    order.steps.forEach((step, index) => {
        const [kind, point] = headOf(step);
        const last = groups[groups.length - 1];
        const line = { number: index + 1, step };
        if (last && last.kind === kind && last.point === point) last.lines.push(line);
        else groups.push({ kind, point, lines: [line] });
    });
    return groups;
}

function headOf(step: StepWire): [Group['kind'], string | null] {
    if (step.why === 'read again') return ['again', null];
    if (step.why === 'level') return ['level', null];
    if (step.point !== null) return ['point', step.point];
    return [step.why === 'checks' ? 'checks' : 'base', null];
}

/** The other end of a tape that is read for a point; nothing where both ends must be named. */
export function otherEnd(step: StepWire): string | null {
    if (step.kind !== 'tape' || step.point === null) return null;
    if (step.point === step.a) return step.b;
    return step.point === step.b ? step.a : null;
}
