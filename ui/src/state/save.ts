// Saving what leaves as a file. The browser asks where or puts it with the downloads; so does the window.

/** Hands bytes or text over as a file of that name. */
export function saveFile(name: string, content: BlobPart, mediaType: string): void {
    const address = URL.createObjectURL(new Blob([content], { type: mediaType }));
    const link = document.createElement('a');
    link.href = address;
    link.download = name;
    document.body.append(link);
    link.click();
    link.remove();
    // A slow device is still reading it when the click returns.
    setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

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
