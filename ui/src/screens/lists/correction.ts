// What a correction says: only what is another than it was.

import type { Act, ReadingLine } from '../../gen/wire';

export type Correction = Omit<Extract<Act, { do: 'correct-reading' }>, 'do' | 'reading' | 'why'>;

export interface Said {
    value: string;
    kind: string;
    points: readonly string[];
    from: string;
    instrument: string;
    add: string;
}

/** The fields that differ from the reading as it is; nothing where none does. */
export function corrected(before: ReadingLine, said: Said): Correction | null {
    const change: Correction = {};
    if (said.value.trim() !== before.value.trim()) change.value = said.value.trim();
    if (said.kind !== before.kind) change.kind = said.kind;
    if (said.points.join('\n') !== before.points.join('\n')) change.points = [...said.points];
    if (hook(said.from) !== hook(before.from)) change.from = hook(said.from);
    if (said.instrument !== before.instrument) change.instrument = said.instrument;
    if (said.add.trim() !== before.add.trim()) change.add = said.add.trim();
    return Object.keys(change).length > 0 ? change : null;
}

/** From the hook and nothing said are the same. */
const hook = (from: string): string => (from === 'hook' ? '' : from);
