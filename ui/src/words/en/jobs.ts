import { count, list } from './common';

export const jobs = {
    purpose: 'Tape a bare shell. Know where its hard points are, how surely, and which reading is off while the tape is still in your hand.',
    before: 'Before you start',
    lookAtDemo: 'Look at the demo',
    demo: 'Demo',
    demoMore: 'An invented shell, taped by Tape and Book, with their slips in it.',
    startEmpty: 'Start an empty job',
    newJob: 'New job',
    takeIn: 'Take in a job file',
    takeInMore: 'From another tablet, or one that was put by',
    here: 'Jobs on this device',
    isOpen: 'open now',
    /** `169 readings, 40 points, 23 photos` */
    counts(readings: number, points: number, photos: number): string {
        const all = [count(readings, 'reading'), count(points, 'point')];
        if (photos > 0) all.push(count(photos, 'photo'));
        return all.join(', ');
    },
    changed: (when: string, by: string): string => (by === '' ? `changed ${when}` : `changed ${when} by ${by}`),
    cannotOpen: (why: string): string => `Cannot be opened: ${why}`,
    heldOut: (number: number): string => `${number} held out`,
    unclear: (number: number): string => `${number} unclear`,
    unchecked: (number: number): string => `${number} unchecked`,
    loose: (number: number): string => `${number} loose`,
    notRead: (number: number): string => `${number} not read`,
    disputes: (number: number): string => `${count(number, 'value')} differ`,
    noDoubt: 'nothing held out or open when last worked out',
    notWorkedOut: 'not worked out yet',

    form: {
        title: 'Start an empty job',
        name: 'Name of the shell',
        nameHint: 'What the crew calls it.',
        nameMissing: 'A job needs a name. Write one.',
        unit: 'Tapes are read in',
        inches: 'Inches',
        millimetres: 'Millimetres',
        unitHint: 'A number without a unit is taken for this. It can be changed later.',
        person: 'Who holds this device',
        personHint: 'Stands beside each reading.',
        make: 'Make the job',
    },
    holder: {
        title: 'Who holds this device?',
        why: 'The name stands beside each reading, so that the other of you can read it again.',
        other: 'Another name',
        set: (name: string): string => `${name} holds it`,
        setEmpty: 'Write a name',
        later: 'Say it later',
    },
    taken: {
        doing: 'Reading the job file',
        title: 'What the file brought',
        isNew: (name: string): string => `${name} is new on this device.`,
        merged: (name: string): string => `${name} was here already. The file was merged into it.`,
        nothing: 'It brought nothing new.',
        brought(changes: number, photos: number): string {
            const what = [];
            if (changes > 0) what.push(count(changes, 'change'));
            if (photos > 0) what.push(count(photos, 'photo'));
            return `It brought ${list(what)}.`;
        },
        ignored: 'Not opened, as they are not Trammel’s:',
        refused: 'Not taken:',
        open: (name: string): string => `Open ${name}`,
        tooLarge: 'The file is larger than 64 MB. Take it in with the command line: trammel take-in FILE.',
    },
};
