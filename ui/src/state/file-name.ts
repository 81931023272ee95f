// What a file is called that leaves.

/** A name of a job that every file system takes: letters and figures of any script, the rest a hyphen. */
export function fileName(name: string, rest: string): string {
    const clean = name
        .normalize('NFC')
        .toLowerCase()
        .replace(/[^\p{L}\p{M}\p{N}]+/gu, '-')
        .replace(/^-+|-+$/g, '')
        .slice(0, 60);
    return `${clean === '' ? 'job' : clean}${rest}`;
}
