import { count } from './common';

export const doubts = {
    open: (number: number): string => `${count(number, 'doubt')} open`,
};
