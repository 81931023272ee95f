// English. One file for each room; what several rooms say is in `common`.

import { caution } from './en/caution';
import { common } from './en/common';
import { doubts } from './en/doubts';
import { handOff } from './en/hand-off';
import { history } from './en/history';
import { instruments } from './en/instruments';
import { jobs } from './en/jobs';
import { kinds } from './en/kinds';
import { lists } from './en/lists';
import { measure } from './en/measure';
import { more } from './en/more';
import { photos } from './en/photos';
import { refusals } from './en/refusals';
import { settings } from './en/settings';
import { shape } from './en/shape';
import { slips } from './en/slips';
import { start } from './en/start';
import { work } from './en/work';

export const en = {
    ...common,
    caution,
    doubts,
    handOff,
    history,
    instruments,
    jobs,
    kinds,
    lists,
    measure,
    more,
    photos,
    refusals,
    settings,
    shape,
    slips,
    start,
    work,
};
