// What stands over a refusal, and the one way on where a screen can offer it. The desk says in words what was wrong.

import type { Code } from '../../gen/wire';

const HEADS: Record<Code | 'no-desk', string> = {
    'bad-request': 'Trammel did not understand itself',
    'no-such-job': 'That job is not here',
    'which-job': 'Which job?',
    unusable: 'Not taken as it stands',
    'not-there': 'Not there',
    'name-taken': 'That name is taken',
    'nothing-to-do': 'Nothing to do',
    'changed-since': 'Changed by somebody since',
    'nothing-to-solve': 'Nothing is determined yet',
    'bad-file': 'The file cannot be used',
    newer: 'From a newer Trammel',
    'other-job': 'Of another job',
    'bad-photo': 'The photo cannot be taken in',
    'photo-not-here': 'The picture is on another device',
    'in-use': 'Another program works in this log',
    'no-store': 'There is no log here yet',
    'not-a-store': 'The folder is somebody else’s',
    'read-only': 'Only to be looked at',
    'store-damaged': 'The log is damaged',
    'disk-full': 'No room on this device',
    'disk-failed': 'The disk failed',
    'too-large': 'Too large',
    stopped: 'Stopped as you asked',
    'no-access': 'This page may not ask',
    fault: 'A fault in Trammel',
    'no-desk': 'Trammel has stopped',
};

export const refusals = {
    heads: HEADS,
    again: 'Try again',
    noDesk: {
        what: 'Nothing that was logged is lost. Start Trammel again, and open the address that it prints.',
    },
};
