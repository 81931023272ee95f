// How much room there is, for screens that are laid out anew and not only moved about.

import { MediaQuery } from 'svelte/reactivity';

const tablet = new MediaQuery('(min-width: 600px)');
const desk = new MediaQuery('(min-width: 1000px)');

export const screen = {
    /** A tablet held upright, or more. */
    get isTablet(): boolean {
        return tablet.current;
    },
    /** Room for a list and what is picked in it, side by side. */
    get isDesk(): boolean {
        return desk.current;
    },
};
