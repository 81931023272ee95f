// All words that the screens say. A language is one folder beside `en`, of the same shape.

import { en } from './en';

export type Words = typeof en;
export const w: Words = en;
