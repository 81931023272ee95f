// Which readings are drawn. Empty text narrows nothing.

import type { LineState, ShapeLine } from '../../gen/wire';

export interface LineFilter {
    by: string;
    stand: string;
    instrument: string;
    state: '' | LineState;
}

export const ALL_LINES: LineFilter = { by: '', stand: '', instrument: '', state: '' };

export function passes(line: ShapeLine, { by, stand, instrument, state }: LineFilter): boolean {
    if (by !== '' && line.by !== by) return false;
    if (stand !== '' && line.stand !== stand) return false;
    if (instrument !== '' && line.instrument !== instrument) return false;
    return state === '' || line.state === state;
}

export const narrows = (filter: LineFilter): boolean => Object.values(filter).some((one) => one !== '');
