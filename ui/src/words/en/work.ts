// Long work, in words.

import type { WorkState } from '../../backend';

export const work = {
    stopping: 'Stopping. What was there stays as it was.',
    /** `Working out the order, 12 of 44` */
    far(doing: string, state: WorkState | null): string {
        if (!state || state.of === null || state.of === 0) return doing;
        return `${doing}, ${state.done} of ${state.of}`;
    },
    stopped: 'Stopped. Nothing was changed.',
};
