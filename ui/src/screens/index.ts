// Every room and the screen that shows it.

import type { Component } from 'svelte';

import type { Room } from '../state/route.svelte';
import Doubts from './doubts/Doubts.svelte';
import HandOff from './hand-off/HandOff.svelte';
import History from './history/History.svelte';
import Instruments from './instruments/Instruments.svelte';
import Jobs from './jobs/Jobs.svelte';
import Measure from './measure/Measure.svelte';
import More from './more/More.svelte';
import Photos from './photos/Photos.svelte';
import Points from './lists/Points.svelte';
import Readings from './lists/Readings.svelte';
import Settings from './settings/Settings.svelte';
import Shape from './shape/Shape.svelte';
import Start from './start/Start.svelte';

export const screens: Record<Room, Component> = {
    jobs: Jobs,
    start: Start,
    measure: Measure,
    shape: Shape,
    doubts: Doubts,
    points: Points,
    readings: Readings,
    photos: Photos,
    instruments: Instruments,
    history: History,
    'hand-off': HandOff,
    settings: Settings,
    more: More,
};
