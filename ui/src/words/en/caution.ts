// What is said once, plainly: where work on a shell begins, and where something leaves.

export const caution = {
    measures: 'A cage holds a life. Trammel measures and records; it does not design or certify.',
    follow: 'Follow the rules of your sanctioning body, local law and a qualified engineer or welder.',
    stands: 'Work on a shell on rated stands on level ground, never on a jack alone. Nobody under it while others pull tapes.',
};
