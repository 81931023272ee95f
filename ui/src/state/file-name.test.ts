import { expect, test } from 'vitest';

import { fileName } from './file-name';

test('a file is called as the job, in letters that every disk takes', () => {
    expect(fileName('Shell 9, long wheelbase', '.zip')).toBe('shell-9-long-wheelbase.zip');
    expect(fileName('../../etc: "x"', '-points.csv')).toBe('etc-x-points.csv');
    expect(fileName('Käfig Nº 2', '.zip')).toBe('käfig-nº-2.zip');
    expect(fileName('???', '.zip')).toBe('job.zip');
});
