import { count } from './common';

export const doubts = {
    open: (number: number): string => `${count(number, 'doubt')} open`,

    /** A reading on a drawn blade. */
    blade: {
        others: 'the others put it at',
        logged: 'you logged',
        apart: 'apart by',
    },
};
