export const more = {
    rooms: {
        start: 'Points, axes, the order to read in, sheets to print',
        photos: 'The shell in pictures, its points pinned on them',
        readings: 'Every reading, who took it and when',
        'hand-off': 'What leaves, and what it carries',
        instruments: 'What you read with, and how it behaves',
        history: 'Who did what, and the way back',
        settings: 'This device, this job, the crew',
        jobs: 'Every shell on this device',
    },
    about: 'About Trammel',
    aboutMore: 'Version, licence, what it does not do',
    version: (version: string): string => `Version ${version}`,
    licence: 'MIT or Apache 2.0, whichever you choose. The lettering is Archivo, under the SIL Open Font License 1.1.',
    what: [
        'Trammel turns taped readings into places of points and says how sure each is. It names the readings that do not fit the others, and those that nothing checks.',
        'It cannot see a slip that the other readings do not speak against. What is not doubted is only not doubted.',
        'It works without internet and sends nothing anywhere.',
    ],
    stamp: 'Measured, not approved.',
    stampMeans: 'These words stand on everything that leaves. Who builds from it decides, and answers for it.',
};
