import { count, list } from './common';

export const handOff = {
    open: (doubts: number): string => `${count(doubts, 'doubt')} open`,
    stand: (doubts: number): string =>
        doubts === 1 ? 'It stands between you and an order for tube.' : 'They stand between you and an order for tube.',
    none: 'No doubts open',
    noneMeans: 'What the readings cannot show is still not known. What leaves is measured, not approved.',
    unsolved: 'No coordinates yet',
    toDoubts: 'Go to Doubts',
    unchecked: (readings: number): string => `${count(readings, 'reading')} that nothing checks.`,
    stampHead: 'Stands on all that leaves',
    leaves: 'What can leave',
    jobFile: 'Job file',
    jobFileMore: 'Everything, for another tablet or to put by: the log, its history, the sheets and the photos, without where they were taken.',
    sheets: {
        readings: 'Readings',
        points: 'Points',
        instruments: 'Instruments',
        coordinates: 'Coordinates',
    },
    sheetsMore: {
        readings: (number: number): string => `${count(number, 'reading')} as they were typed, set aside and kept ones too. CSV.`,
        points: (number: number): string => `${count(number, 'point')}: sides, partners, rough places. CSV.`,
        instruments: (number: number): string => `${count(number, 'instrument')} as described. CSV.`,
        coordinates: 'Where the points are, in mm, with standard deviations. Suspects are held out. CSV.',
    },
    noCoordinates: (why: string): string => `Cannot leave yet. ${why}`,
    carries: (readings: number, points: number): string => `${count(readings, 'reading')}, ${count(points, 'point')}`,
    save: (what: string): string => `Save ${what}`,
    saving: 'Writing the job file',
    saved: (file: string): string => `${file} is with your downloads.`,
    savedJob(file: string, readings: number, photos: number): string {
        const what = [count(readings, 'reading')];
        if (photos > 0) what.push(count(photos, 'photo'));
        return `${file} is with your downloads: ${list(what)}.`;
    },
    missing: (photos: readonly string[]): string =>
        `${count(photos.length, 'photo')} of the log ${photos.length === 1 ? 'is' : 'are'} not on this device and could not go with it: ${list(photos)}.`,
    caution: 'For whoever takes it',
    wall: {
        title: 'Sheet for the wall',
        what: 'Plan, sides and ends with every point by name, to scale, and a table of the points. Black ink on white, to be read at arm’s length.',
        print: 'Print it at full size, then lay a rule on the bar beside each view.',
        paper: 'Paper',
        papers: { a4: 'A4', letter: 'Letter' },
        savePdf: 'Save PDF',
        saveSvg: (page: number): string => `Save page ${page} as SVG`,
        saving: 'Drawing the sheet',
        saved: (file: string, pages: number): string => `${file} is with your downloads: ${count(pages, 'page')}.`,
        page: (page: number, pages: number): string => `Page ${page} of ${pages}`,
        picture: (page: number, pages: number): string => `Page ${page} of ${pages} of the sheet, as it will be printed`,
        before: 'Page before',
        after: 'Next page',
    },
};
