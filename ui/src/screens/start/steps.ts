// The steps of a start, and which is next.

import type { JobShown } from '../../gen/wire';

export const STEPS = ['crew', 'instruments', 'points', 'axes', 'order', 'sheets', 'entry'] as const;
export type Step = (typeof STEPS)[number];

/** Two hold a tape; four points are the fewest that make a shape. */
const CREW = 2;
const POINTS = 4;

/** Whether a step is done. The order is never done before the shell is. */
export function isDone(step: Step, shown: JobShown): boolean {
    if (step === 'crew') return shown.people.length >= CREW;
    if (step === 'instruments') return shown.instruments.length > 0;
    if (step === 'points') return shown.points.length >= POINTS;
    return step === 'axes' && shown.frame !== null;
}

/** The first step that is not done. Axes can wait: they are chosen where nobody sets them. */
export function nextStep(shown: JobShown): Step {
    return STEPS.find((step) => step !== 'axes' && !isDone(step, shown)) ?? 'order';
}
