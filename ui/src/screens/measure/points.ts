// Which points to offer first, so that a reading between two recent ones takes few touches.

import type { AdjustmentWire, JobShown } from '../../gen/wire';

/** Labels of points that were read lately, the newest first. */
export function recent(shown: JobShown, most: number): string[] {
    const labels = new Set<string>();
    for (let index = shown.readings.length - 1; index >= 0 && labels.size < most; index -= 1) {
        for (const label of shown.readings[index]?.points ?? []) {
            if (labels.size < most) labels.add(label);
        }
    }
    return [...labels];
}

/** Labels with every word of what was typed somewhere in them, those that begin with it first. */
export function matching(labels: readonly string[], typed: string): string[] {
    const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
    const found = labels.filter((label) => words.every((word) => label.toLowerCase().includes(word)));
    const begins = (label: string) => label.toLowerCase().startsWith(typed.trim().toLowerCase());
    return [...found.filter(begins), ...found.filter((label) => !begins(label))];
}

/** Labels by how near they are to a point, those that are pinned down. */
export function near(solved: AdjustmentWire | null, to: string, most: number): string[] {
    const at = (label: string) => solved?.points.find((point) => point.label === label);
    const hub = at(to);
    if (!solved || !hub || hub.x_mm === null || hub.y_mm === null || hub.z_mm === null) return [];
    const far = solved.points.flatMap((point) => {
        if (point.label === to || point.x_mm === null || point.y_mm === null || point.z_mm === null) return [];
        const away = Math.hypot(point.x_mm - hub.x_mm!, point.y_mm - hub.y_mm!, point.z_mm - hub.z_mm!);
        return [{ label: point.label, away }];
    });
    far.sort((a, b) => a.away - b.away || (a.label < b.label ? -1 : 1));
    return far.slice(0, most).map((one) => one.label);
}

/** Labels that a tape was already taken to from a point. */
export function taped(shown: JobShown, from: string): Set<string> {
    const labels = new Set<string>();
    for (const reading of shown.readings) {
        if (reading.kind !== 'tape' || reading.state === 'set aside') continue;
        if (reading.points[0] === from && reading.points[1]) labels.add(reading.points[1]);
        if (reading.points[1] === from && reading.points[0]) labels.add(reading.points[0]);
    }
    return labels;
}

/** Whether a line is marked as one that cannot be taped. */
export function isBlocked(shown: JobShown, a: string, b: string): boolean {
    return shown.blocked.some((line) => (line.a === a && line.b === b) || (line.a === b && line.b === a));
}
