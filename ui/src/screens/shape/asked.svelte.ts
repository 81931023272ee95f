// How the drawing of this visit is set: what is drawn of it, which readings, from where it is seen.

import { ALL_LINES, type LineFilter } from '../../parts/shape/filter';
import { type Shown, SHOWN_AT_FIRST } from '../../parts/shape/scene';
import { Viewer } from '../../parts/shape/viewer.svelte';

class Asked {
    shown = $state.raw<Shown>(SHOWN_AT_FIRST);
    filter = $state.raw<LineFilter>(ALL_LINES);
    viewer = new Viewer();
}

/** Kept while the program runs, so that coming back shows what was left. */
export const asked = new Asked();
