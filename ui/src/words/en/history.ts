import { count, list } from './common';

const FIELDS: Record<string, string> = {
    value: 'value',
    kind: 'kind',
    points: 'points',
    state: 'use',
    instrument: 'instrument',
    from: 'read from',
    add: 'added',
    note: 'note',
    label: 'name',
    side: 'side',
    mirror: 'mirror partner',
    rough: 'rough place',
};

/** Some of many names: `r181, r182, r183 and 47 more`. */
function some(names: readonly string[]): string {
    return names.length <= 6 ? list(names) : `${names.slice(0, 5).join(', ')} and ${names.length - 5} more`;
}

export const history = {
    who: 'Who',
    everyone: 'Everyone',
    none: 'Nothing has been done yet.',
    noneHow: 'Everything that anyone does to this job stands here, with who did it and when.',
    noneOf: (person: string): string => `${person} has done nothing here yet.`,
    asItStood: 'As it stood',
    asItStoodHeard: (words: string): string => `The job as it stood after: ${words}`,
    more: 'Show older lines',
    somebody: 'Somebody',
    loading: 'Reading the history.',

    atMoment: 'At a moment',
    momentTitle: 'How did the job stand at a moment?',
    moment: 'Day and time, by the clock of this device',
    momentAct: 'Look back',

    back: {
        head: 'A look back',
        after: (words: string): string => `After: ${words}`,
        at: (moment: string): string => `As the job stood ${moment}`,
        nothingChanges: 'Nothing can be changed here.',
        toNow: 'Back to now',
        show: 'What is shown',
        differs: 'What differs',
        readings: (many: number): string => `Readings, ${many}`,
        points: (many: number): string => `Points, ${many}`,
        same: 'The job is now as it stood then.',
        looking: 'Looking back.',
        readingsSince: (names: readonly string[]): string => `${count(names.length, 'reading')} logged since: ${some(names)}.`,
        readingsGone: (names: readonly string[]): string =>
            `${count(names.length, 'reading')} that ${names.length === 1 ? 'is' : 'are'} no longer there: ${some(names)}.`,
        pointsSince: (names: readonly string[]): string => `${count(names.length, 'point')} made since: ${some(names)}.`,
        pointsGone: (names: readonly string[]): string =>
            `${count(names.length, 'point')} that ${names.length === 1 ? 'is' : 'are'} no longer there: ${some(names)}.`,
        changed: 'Changed since',
        then: 'then',
        now: 'now',
        field: (field: string): string => FIELDS[field] ?? field,
        said: (field: string, text: string): string => {
            if (field === 'state') return text === '' ? 'in use' : text;
            return text === '' ? 'nothing' : text;
        },
        noReadings: 'No reading had been logged.',
        noPoints: 'No point had been made.',
    },
};
