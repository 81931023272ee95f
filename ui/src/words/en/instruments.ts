import { angle, halfInMm, inMm, type Phrase, say } from '../phrase';
import { count } from './common';

export const instruments = {
    none: 'Nothing is described yet.',
    noneHow: 'Describe the tape and the angle finder that you read with. Each reading then knows how well it can be read.',
    add: 'Describe an instrument',
    kinds: {
        tape: 'Tape',
        'ring tape': 'Ring tape',
        laser: 'Laser',
        finder: 'Angle finder',
        level: 'Level',
        rule: 'Rule',
    } as Record<string, string>,
    means: {
        tape: 'Its hook is the zero mark. The hook slides by its own thickness.',
        'ring tape': 'Its zero mark lies inside the blade, past a ring.',
        laser: 'Measures from its back edge to a spot of light.',
        finder: 'Reads slopes and corners. It reads no lengths.',
        level: 'A tube of water or a line of light: reads rises and slopes.',
        rule: 'Steel, its end is the zero mark.',
    } as Record<string, string>,
    readings: (number: number): string => (number === 0 ? 'nothing read with it yet' : count(number, 'reading')),
    classOf: (word: string): string => `class ${word}`,
    marks: (text: string): string => `marks of ${text}`,
    zero: (text: string): string => `zero offset ${text}`,

    form: {
        title: (name: string): string => (name === '' ? 'Describe an instrument' : name),
        name: 'Name',
        nameHint: 'As it is written on it, or as you call it.',
        nameMissing: 'It needs a name. Write one.',
        nameTaken: (name: string): string => `${name} is described already. Choose another name.`,
        kind: 'What it is',
        class: 'Accuracy class',
        classes: { '': 'Not said', I: 'I', II: 'II', III: 'III' },
        classMeans: {
            '': 'Taken as II. The class stands on the blade in an oval, such as II.',
            I: 'Right within 0.2 mm over one metre (Directive 2014/32/EU, Annex X).',
            II: 'Right within 0.5 mm over one metre (Directive 2014/32/EU, Annex X).',
            III: 'Right within 1 mm over one metre (Directive 2014/32/EU, Annex X).',
        } as Record<string, string>,
        graduation: 'Smallest mark',
        graduationHint: 'Such as 1/16 in or 1 mm. Not said: 1 mm.',
        zero: 'Zero offset',
        zeroHint: 'Added to each reading. A worn hook that reads 1 mm short has 1 mm here.',
        case: 'Length of the case',
        caseHint: 'Stands on its back. Added when an inside width is read with the case.',
        point: 'How well a mark can be met',
        pointHint: 'Standard deviation at each end. Not said: 0.5 mm.',
        sd: 'Standard deviation of its own',
        sdHint: 'Not said: made of its class, its marks and how well a mark can be met.',
        sdFinder: 'Such as 0.2 deg. Not said: 0.2 deg.',
        note: 'Note',
        save: 'Keep it',
        add: 'Add it',
    },

    behaves: {
        title: 'How it behaves',
        /** Half widths at 95 %. */
        like: (like: number, said: number, quantity: 'length' | 'angle'): Phrase =>
            quantity === 'angle'
                ? say`Behaves like ±${angle(like, true)}; said was ±${angle(said, true)}.`
                : say`Behaves like ${halfInMm(like)}; said was ${halfInMm(said)}.`,
        cannotTell: 'Its readings cannot tell yet how it behaves.',
        better: 'It reads better than was said.',
        worse: 'It reads worse than was said: see to it.',
        reads: (by: number, way: 'short' | 'long', half: number): Phrase =>
            say`Reads ${inMm(by)} ${way} at its zero, ${halfInMm(half)}.`,
        noOffset: 'No zero offset shows.',
        take: 'Take it as its zero offset',
        took: (name: string): string => `The zero offset of ${name} is changed. All readings with it are worked out anew.`,
    },
    people: {
        title: 'The crew',
        means: 'How the readings of each scatter, whatever they were read with.',
        promised: 'Scatter as the instruments promise.',
        wider: (times: string): string => `Scatter ${times} times as wide as the instruments promise. Have the other read some of them again.`,
        narrower: (times: string): string => `Scatter ${times} times as wide as the instruments promise.`,
        cannotTell: 'Too little checks them to tell how they scatter.',
        heldOut: (number: number): string => `${number} held out beside these.`,
    },
};
