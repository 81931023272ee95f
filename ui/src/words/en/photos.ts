// Photos: taken in, looked at, pinned.

import { count } from './common';

/** `8 MB`, `312 kB` */
function size(bytes: number): string {
    if (bytes < 1 << 20) return `${Math.max(1, Math.round(bytes / 1024))} kB`;
    return `${Math.round(bytes / (1 << 20))} MB`;
}

export const photos = {
    cell: 'Photos',
    take: 'Take a photo',
    choose: 'Choose pictures',
    /** Beside the way to take one. */
    chooseShort: 'Choose',
    sending: (file: string, bytes: number, left: number): string => {
        const rest = left === 0 ? '' : ` ${count(left, 'more', 'more')} after it.`;
        return `Taking in ${file}, ${size(bytes)}: turned upright, made small, kept.${rest}`;
    },
    pending: (file: string): string => `${file}, being taken in`,
    unnamed: 'the picture',
    notTaken: 'Not taken in',
    refused: (file: string, why: string): string => `${file}: ${why}`,
    again: 'Try again',
    againHeard: (file: string): string => `Try again: ${file}`,
    dismiss: (file: string): string => `Close: ${file}`,
    already: (file: string): string => `${file} was here already. Nothing was added twice.`,
    tooLarge: (bytes: number, most: number): string =>
        `it takes ${size(bytes)} and ${Math.round(most / (1 << 20))} MB is the most that is taken. Save it smaller, as JPEG, and choose that.`,

    none: 'No photos yet.',
    noneHow: 'Photograph a corner of the shell, then pin the points that it shows. A pinned photo finds the mark again, and a reading can be begun on it.',
    noneLike: 'No photo is like that.',
    search: 'Find by caption, point or file',
    filterHead: 'Which photos',
    filters: { all: 'All', bare: 'Without pins', removed: 'Removed' },
    ofPoint: (label: string): string => `Photos of ${label}`,
    ofReading: (name: string): string => `Photos of ${name}`,
    showAll: 'Show all photos',
    noneOf: 'None yet.',

    strip: 'Photos',
    all: (photos: number): string => `All ${photos} photos`,
    called: (caption: string, about: string, file: string): string => caption || (about === '' ? file || 'Photo' : `Photo of ${about}`),
    pins: (pins: number): string => (pins === 0 ? 'no pins' : count(pins, 'pin')),
    loading: 'The picture is coming.',
    failed: 'The picture cannot be shown.',
    notHere: 'Not on this device.',
    notHereMore: (by: string): string =>
        by === ''
            ? 'The picture is on the device that it was added on. Take in a job file from there.'
            : `${by} added it, and the picture is on the device that ${by} held. Take in a job file from there.`,

    back: 'All photos',
    stage: (called: string): string =>
        `${called}. Arrow keys move it, plus and minus bring it nearer and farther, 0 shows it whole, P begins a pin.`,
    nearer: 'Nearer',
    farther: 'Farther',
    whole: 'Show it whole',
    untied: 'No point yet',
    pinHeard: (label: string, isPicked: boolean): string => `Pin ${label}${isPicked ? ', picked' : ''}`,
    addPin: 'Add a pin',
    addPinHow: 'Hold a finger on the photo, or add a pin, and a loupe shows the mark under it.',
    /** While the cross is being set. */
    cross: {
        title: 'Put the cross on the mark',
        heard: 'The cross. Arrow keys move it by a pixel, with Shift by ten. Enter sets the pin, Escape leaves it.',
        how: 'Drag it, tap the place, or step it.',
        set: 'Set the pin here',
        move: (label: string): string => `Move ${label} here`,
        steps: { left: 'A step left', up: 'A step up', down: 'A step down', right: 'A step right' },
    },
    which: {
        title: 'Which point is under the cross?',
        search: 'Find a point',
        orNote: 'Not a point yet? Say what it is',
        noteHint: 'It can be tied to a point later.',
        leave: 'Leave it with the note',
        tie: (note: string): string => `Which point is “${note}”?`,
    },
    pinned: (label: string): string => `${label} is pinned.`,
    moved: (label: string): string => `${label} is moved.`,
    pinRemoved: (label: string): string => `The pin of ${label} is taken off.`,
    tied: (note: string, label: string): string => `“${note}” is ${label} now.`,
    move: 'Move it',
    remove: 'Take it off',
    tie: 'Tie it to a point',
    toPoint: (label: string): string => `All of ${label}`,
    second: 'Tap a second pin to measure from one to the other.',
    secondUntied: 'Tie it to a point, and readings can be begun from it.',
    measure: (from: string, to: string): string => `Measure ${from} to ${to}`,
    pair: (from: string, to: string): string => `${from} to ${to}`,
    neverRead: 'Not read yet.',
    readBefore: 'Read already',
    readLines: 'Show readings',
    hideLines: 'Hide readings',

    caption: 'Caption',
    captionHint: 'What it shows, in your words.',
    captionKeep: 'Keep the caption',
    captionKept: 'The caption is kept.',
    aboutHead: 'Photo of',
    aboutNothing: 'nothing in particular',
    aboutChange: 'Change',
    aboutTitle: 'What is it a photo of?',
    aboutPoint: 'A point',
    aboutReading: 'A reading',
    aboutFree: 'Of nothing in particular',
    aboutFind: 'Find it',
    aboutKept: (about: string): string => (about === '' ? 'It is of nothing in particular now.' : `It is a photo of ${about} now.`),
    pinsHead: 'Pins',
    facts: 'What is known of it',
    taken: 'Taken',
    takenUnknown: 'not said in the file',
    by: 'Added by',
    file: 'File',
    size: 'Size',
    sizeOf: (width: number, height: number, bytes: number): string => `${width} × ${height}, ${size(bytes)}`,
    copy: 'Save a copy',
    copyMore: 'A copy does not say where it was taken. What can be seen in it stays.',
    copied: (file: string): string => `${file} is with your downloads, without where it was taken.`,
    drop: 'Remove the photo',
    dropped: 'The photo is removed. It can be brought back.',
    removedHere: 'This photo is removed. Its pins and caption are kept.',
    bringBack: 'Bring it back',
    broughtBack: 'The photo is back.',

    pick: {
        none: 'No photo has pins yet.',
        noneHow: 'Photograph the shell, pin its points on the photo, and they can be picked here.',
        which: 'Which photo',
        how: 'Tap a pin.',
    },
};
