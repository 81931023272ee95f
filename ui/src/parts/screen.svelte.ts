// How much room there is, for screens that are laid out anew and not only moved about.

import { MediaQuery } from 'svelte/reactivity';

const tablet = new MediaQuery('(min-width: 600px)');
const touch = new MediaQuery('(any-pointer: coarse)');
const desk = new MediaQuery('(min-width: 1000px)');

export const screen = {
    /** A tablet held upright, or more. */
    get isTablet(): boolean {
        return tablet.current;
    },
    /** Whether fingers touch it, as they do a tablet with a camera. */
    get isTouched(): boolean {
        return touch.current;
    },
    /** Room for a list and what is picked in it, side by side. */
    get isDesk(): boolean {
        return desk.current;
    },
};
