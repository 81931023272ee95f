// The axes as they are typed: `three:ORIGIN,AHEAD,LEFT`, `plumb:…`, `centreline:ORIGIN,AHEAD,ABOVE`, `bench`.

export const AXES = ['three', 'plumb', 'centreline', 'bench'] as const;
export type AxesKind = (typeof AXES)[number];

export interface Axes {
    kind: AxesKind;
    /** Three points, in the order in which they are typed; none for a bench. */
    points: string[];
}

/** How many points the axes are laid through. */
export const pointsOfAxes = (kind: AxesKind): number => (kind === 'bench' ? 0 : 3);

/** Reads axes as the desk writes them; nothing where they are open. */
export function axesOf(typed: string | null): Axes | null {
    if (typed === null) return null;
    const at = typed.indexOf(':');
    const word = at < 0 ? typed : typed.slice(0, at);
    const kind = AXES.find((one) => one === word.trim());
    if (!kind) return null;
    return { kind, points: at < 0 ? [] : listed(typed.slice(at + 1)) };
}

/** Labels of a row as sheets have them (RFC 4180): one with a comma or a quote stands in quotes, with those in it doubled. */
function listed(row: string): string[] {
    const cells = row.matchAll(/(?:^|,)\s*(?:"((?:[^"]|"")*)"|([^,]*))/g);
    return [...cells].map(([, quoted, plain = '']) => (quoted === undefined ? plain : quoted.replaceAll('""', '"')).trim());
}

const quoted = (label: string): string => (/[",\r\n]/.test(label) ? `"${label.replaceAll('"', '""')}"` : label);

/** Writes axes as the desk reads them; nothing while a point is missing or taken twice. */
export function typedAxes(axes: Axes): string | null {
    const wanted = pointsOfAxes(axes.kind);
    if (wanted === 0) return axes.kind;
    const points = axes.points.slice(0, wanted);
    const isWhole = points.length === wanted && points.every((label) => label !== '');
    return isWhole && new Set(points).size === wanted ? `${axes.kind}:${points.map(quoted).join(',')}` : null;
}
