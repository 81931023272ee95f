// Every screen, and how to come to see it: for pictures, and for what must hold of all of them.

import { join } from 'node:path';

import { EPOCHS } from './places.mjs';
import { badFiles, photo } from './photos.mjs';

/**
 * @typedef {object} View
 * @property {string} name
 * @property {string} room where it begins
 * @property {(screens: import('./screens.mjs').Screens) => Promise<void>} [show] what is done there first
 */

/** How a device stands before its views are looked at, and the views it is for. */
export const STATES = {
    /** Taken out of the box. */
    fresh: {
        prepare: () => {},
        /** @type {View[]} */
        views: [
            { name: 'jobs-none', room: 'jobs' },
            { name: 'settings-no-job', room: 'settings' },
        ],
    },
    /** A job in which nothing was read yet. */
    begun: {
        prepare: (device) => device.trammel('job', 'new', 'Shell 7', '--unit', 'in', '--by', 'Anna'),
        views: [
            { name: 'shape-begun', room: 'shape' },
            ...['measure', 'doubts', 'points', 'readings', 'instruments', 'history', 'hand-off', 'start'].map((room) => ({
                name: `${room}-begun`,
                room,
            })),
            ...['crew', 'points', 'axes', 'order', 'sheets', 'entry'].map((step) => ({
                name: `start-${step}-begun`,
                room: `start?step=${step}`,
            })),
            { name: 'measure-pick-none', room: 'measure', show: (screens) => screens.touch('from') },
            { name: 'job-new', room: 'jobs', show: (screens) => screens.touch('job-new') },
        ],
    },
    /** The demo job: 43 points, over 200 readings, every kind of doubt. */
    demo: {
        prepare: (device) => {
            device.trammel('demo');
            device.trammel('read', 'tape', 'floor-front-R', 'roof-front', '49 1/2 in', '--by', 'Book');
        },
        views: [
            ...['jobs', 'doubts', 'points', 'readings', 'instruments', 'history', 'hand-off', 'settings', 'more', 'start'].map(
                (room) => ({ name: room, room }),
            ),
            ...['crew', 'points', 'axes', 'order', 'sheets', 'entry'].map((step) => ({
                name: `start-${step}`,
                room: `start?step=${step}`,
            })),
            { name: 'more-about', room: 'more?page=about' },
            { name: 'points-one', room: 'points?point=roof-front' },
            { name: 'readings-one', room: 'readings?reading=r065' },
            ...['point-change', 'point-join'].map((act) => ({
                name: `points-one-${act}`,
                room: 'points?point=roof-front',
                show: (screens) => screens.touch(act),
            })),
            ...['reading-correct', 'reading-set-aside', 'reading-blind'].map((act) => ({
                name: `readings-one-${act}`,
                room: 'readings?reading=r065',
                show: (screens) => screens.uncover(act),
            })),
            { name: 'points-filter', room: 'points', show: (screens) => screens.touch('filter') },
            { name: 'readings-filter', room: 'readings', show: (screens) => screens.touch('filter') },
            { name: 'history-as-it-stood', room: 'history', show: (screens) => screens.touch(screens.all('history-as-it-stood').nth(4)) },
            { name: 'instruments-one', room: 'instruments', show: (screens) => screens.touch('instrument-line') },
            { name: 'doubts-one', room: 'doubts', show: (screens) => screens.touch(screens.all('doubt-open').nth(1)) },
            { name: 'photos-none', room: 'photos' },
            { name: 'shape', room: 'shape', show: drawn },
            ...['plan', 'side', 'end'].map((view) => ({ name: `shape-${view}`, room: `shape?view=${view}` })),
            { name: 'shape-point', room: 'shape?view=space&point=hoop-foot-R', show: drawn },
            { name: 'shape-loose', room: 'shape?point=seat-bolt-rear-R', show: drawn },
            { name: 'shape-reading', room: 'shape?reading=r065', show: drawn },
            { name: 'shape-distance-begun', room: 'shape?point=tail&to=', show: drawn },
            { name: 'shape-distance', room: 'shape?point=tail&to=roof-front', show: drawn },
            { name: 'shape-show', room: 'shape', show: (screens) => screens.touch('shape-show') },
            { name: 'shape-readings', room: 'shape?point=hoop-foot-R', show: (screens) => screens.touch('shape-readings') },
            { name: 'shape-find', room: 'shape', show: (screens) => screens.touch('shape-find') },
            {
                name: 'measure-pick-shape',
                room: 'measure',
                async show(screens) {
                    await screens.touch('from');
                    await screens.choose('pick-way', 'shape');
                    await drawn(screens);
                },
            },
            { name: 'measure', room: 'measure' },
            { name: 'measure-typed', room: 'measure', show: typed('48 1/2 in') },
            { name: 'measure-typed-feet', room: 'measure', show: typed('4\' 5/16"') },
            { name: 'measure-typed-mm', room: 'measure', show: typed('1231.5 mm') },
            { name: 'measure-kinds', room: 'measure', show: (screens) => screens.touch('kind') },
            { name: 'measure-how', room: 'measure', show: (screens) => screens.touch('instrument') },
            { name: 'measure-pick', room: 'measure', show: (screens) => screens.touch('from') },
            {
                name: 'measure-pick-search',
                room: 'measure',
                async show(screens) {
                    await screens.touch('from');
                    await screens.one('point-search').fill('sill');
                },
            },
            { name: 'measure-recent', room: 'measure', show: (screens) => screens.touch('recent-line') },
            {
                name: 'measure-recent-aside',
                room: 'measure',
                async show(screens) {
                    await screens.touch('recent-line');
                    await screens.touch('recent-set-aside');
                },
            },
            {
                name: 'measure-recent-blind',
                room: 'measure',
                async show(screens) {
                    await screens.touch('recent-line');
                    await screens.touch('recent-blind');
                },
            },
            { name: 'measure-again', room: 'measure', show: again },
            { name: 'measure-four-points', room: 'measure', show: (screens) => screens.pickKind('face') },
            { name: 'measure-angle', room: 'measure', show: (screens) => screens.pickKind('slope') },
            {
                name: 'measure-unreadable',
                room: 'measure',
                async show(screens) {
                    await screens.pick('floor-front-R', 'roof-front');
                    await screens.page.keyboard.type('40 5/');
                    await screens.touch('log');
                },
            },
            { name: 'measure-fits', room: 'measure', show: logged('48 1/2 in') },
            { name: 'measure-off', room: 'measure', show: logged('49 1/2 in') },
        ],
    },
    /** The demo job after welding: two epochs. */
    welded: {
        prepare(device) {
            device.trammel('demo');
            device.trammel('job', 'import', join(EPOCHS, 'after-welding.csv'), '--job', 'demo');
        },
        /** @type {View[]} */
        views: [
            { name: 'doubts-welded', room: 'doubts' },
            { name: 'shape-welded', room: 'shape', show: drawn },
            { name: 'shape-epochs', room: `shape?${new URLSearchParams({ view: 'space', before: '', after: 'after welding' })}`, show: drawn },
            { name: 'shape-epochs-end', room: `shape?${new URLSearchParams({ view: 'end', before: '', after: 'after welding', point: 'roof-rear-L' })}` },
        ],
    },
    /** Photos of the demo's shell, one of them pinned. */
    photographed: {
        prepare(device) {
            device.trammel('demo');
            device.trammel('photo', 'add', photo('shell-dark'), '--caption', 'After dark', '--point', 'roof-front');
            device.trammel('photo', 'add', photo('shell-turned'), '--reading', 'r065');
            device.trammel('photo', 'add', photo('shell-lying'), '--caption', 'From behind on the left');
            const [id] = JSON.parse(device.trammel('photo', 'list', '--json')).filter(({ file }) => file === 'shell-lying.jpg').map(({ id }) => id);
            for (const [label, x, y] of PINNED) device.trammel('photo', 'pin', id, label, String(x), String(y));
        },
        /** @type {View[]} */
        views: [
            { name: 'photos', room: 'photos' },
            { name: 'photos-one', room: 'photos', show: onePhoto },
            {
                name: 'photos-one-pin',
                room: 'photos',
                async show(screens) {
                    await onePhoto(screens);
                    await screens.touch(screens.one('photo-pin', '[data-label="roof-front"]'));
                },
            },
            {
                name: 'photos-one-pair',
                room: 'photos',
                async show(screens) {
                    await onePhoto(screens);
                    await screens.touch(screens.one('photo-pin', '[data-label="roof-front"]'));
                    await screens.touch(screens.one('photo-pin', '[data-label="floor-front-R"]'));
                },
            },
            {
                name: 'photos-one-cross',
                room: 'photos',
                async show(screens) {
                    await onePhoto(screens);
                    await screens.touch('photo-add-pin');
                },
            },
            {
                name: 'photos-one-which',
                room: 'photos',
                async show(screens) {
                    await onePhoto(screens);
                    await screens.touch('photo-add-pin');
                    await screens.touch('photo-set-pin');
                },
            },
            {
                name: 'photos-one-about',
                room: 'photos',
                async show(screens) {
                    await onePhoto(screens);
                    await screens.touch('photo-about');
                },
            },
            {
                name: 'photos-refused',
                room: 'photos',
                async show(screens) {
                    await screens.one('photo-choose').setInputFiles(badFiles(screens.device.folder)[0].path);
                    await screens.one('photo-refused').waitFor();
                },
            },
            { name: 'photos-of-point', room: 'photos?point=roof-front' },
            { name: 'points-one-photos', room: 'points?point=roof-front' },
            { name: 'readings-one-photos', room: 'readings?reading=r065' },
        ],
    },
};

/** Points of the demo on the drawn shell. */
const PINNED = [
    ['floor-front-L', 0.35, 0.37],
    ['roof-front', 0.8, 0.31],
    ['floor-front-R', 0.7, 0.64],
    ['sill-mid-R', 0.62, 0.5],
    ['sill-rear-L', 0.33, 0.69],
    ['screen-top-L', 0.36, 0.22],
    ['screen-top-R', 0.66, 0.25],
    ['dash-bar', 0.5, 0.42],
];

async function onePhoto(screens) {
    await screens.touch('photo-tile');
    await screens.one('photo-stage').locator('img[data-size="large"]').waitFor();
    await screens.settled();
}

/**
 * Shows a view afresh, as after a start.
 * @param {import('./screens.mjs').Screens} screens
 * @param {View} view
 */
export async function look(screens, { name, room, show }) {
    if (room === 'measure') {
        // The pad remembers what the view before left on it.
        await screens.emptyPad();
        await screens.page.goto('about:blank');
    }
    if (screens.page.url() === 'about:blank') await screens.open(room);
    else {
        // Panels go with their room.
        await screens.go('more');
        await screens.go(room);
    }
    screens.step(`looking at ${name}`);
    await show?.(screens);
    await screens.settled();
}

/** Waits until the shell stands in space. */
async function drawn(screens) {
    await screens.all('shape-space', '[data-drawn="true"]').waitFor();
}

function typed(value) {
    return async (screens) => {
        await screens.pick('floor-front-R', 'roof-front');
        await screens.key(value);
    };
}

function logged(value) {
    return async (screens) => {
        await typed(value)(screens);
        await screens.log();
    };
}

async function again(screens) {
    await screens.touch('recent-line');
    await screens.touch('recent-again');
}
