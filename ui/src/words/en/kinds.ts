// What can be read, and what to hold where.

export const kinds = {
    /** As they are picked. */
    word: {
        tape: 'Straight tape',
        rise: 'Rise',
        slope: 'Slope',
        corner: 'Corner',
        string: 'Off a string',
        face: 'Off a face',
        x: 'Ahead (x)',
        y: 'To the left (y)',
        z: 'Up (z)',
    },
    /** What it is, in one line. */
    means: {
        tape: 'The straight distance between two marks.',
        rise: 'How much higher the second mark is, along the plumb line.',
        slope: 'How steep the line is, up or down from level.',
        corner: 'The angle at the middle mark.',
        string: 'The shortest way from a mark to a string pulled through two others.',
        face: 'The shortest way from a mark to the face through three others.',
        x: 'How far ahead, read off a bench, a jig rail or a floor line.',
        y: 'How far to the left, read off a bench, a jig rail or a floor line.',
        z: 'How high, read off a bench, a jig rail or a floor line.',
    },
    /** What to hold where. */
    hold: {
        tape: 'Hook on the first mark, read at the second. Tape straight, touching nothing between.',
        rise: 'Level tube or laser line at the first mark. Read up to the second; down is minus.',
        slope: 'Angle finder along the line from the first mark to the second. Second one higher is plus.',
        corner: 'Finder at the middle mark, one leg to each of the others.',
        string: 'Pull the string tight through the second and third mark. Read square from the first to the string.',
        face: 'Lay a straight edge over the other three. Read square from the first to it.',
        x: 'Read along the rail, square to it.',
        y: 'Read across from the centre line. To the right is minus.',
        z: 'Read up from the bench or the floor line.',
    },
    /** What the ends of a reading are called. */
    ends: {
        tape: ['From', 'To'],
        rise: ['From', 'To'],
        slope: ['From', 'To'],
        corner: ['Leg to', 'Corner at', 'Leg to'],
        string: ['From', 'String through', 'and through'],
        face: ['From', 'Face through', 'and', 'and'],
        x: ['Of'],
        y: ['Of'],
        z: ['Of'],
    },
} as const;
