// The plan view of the points: x ahead to the right, y to the left upwards, fitted into a frame.

import type { AdjustmentWire, JobShown } from '../../gen/wire';

export interface PlanPoint {
    label: string;
    x: number;
    y: number;
}

/** The points as far as they are known, and a line round them. Rough places stand in where nothing is solved. */
export function planOf(
    shown: JobShown | null,
    solved: AdjustmentWire | null,
    width: number,
    height: number,
): { points: PlanPoint[]; outline: string } {
    const known = (solved?.points ?? []).flatMap(({ label, x_mm, y_mm }) =>
        x_mm === null || y_mm === null ? [] : [{ label, x: x_mm, y: y_mm }],
    );
    const raw = known.length > 2 ? known : roughOf(shown);
    if (raw.length === 0) return { points: [], outline: '' };
    const xs = raw.map((point) => point.x);
    const ys = raw.map((point) => point.y);
    const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
    const edge = 40;
    const scale = Math.min((width - 2 * edge) / Math.max(x1 - x0, 1), (height - 2 * edge) / Math.max(y1 - y0, 1));
    const points = raw.map(({ label, x, y }) => ({
        label,
        x: Math.round((width / 2 + (x - (x0 + x1) / 2) * scale) * 10) / 10,
        y: Math.round((height / 2 - (y - (y0 + y1) / 2) * scale) * 10) / 10,
    }));
    return { points, outline: `M${hull(points).map((point) => `${point.x} ${point.y}`).join('L')}Z` };
}

function roughOf(shown: JobShown | null): PlanPoint[] {
    return (shown?.points ?? []).flatMap(({ label, rough }) => {
        const [x, y] = rough.map((text) => Number.parseFloat(text));
        return x === undefined || y === undefined || Number.isNaN(x) || Number.isNaN(y) ? [] : [{ label, x, y }];
    });
}

/** The convex hull, by Andrew's monotone chain (Information Processing Letters 9, 1979). */
export function hull(points: readonly PlanPoint[]): PlanPoint[] {
    const sorted = [...points].sort((a, b) => a.x - b.x || a.y - b.y);
    const turn = (o: PlanPoint, a: PlanPoint, b: PlanPoint) => (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
    const half = (order: readonly PlanPoint[]) => {
        const chain: PlanPoint[] = [];
        for (const point of order) {
            while (chain.length > 1 && turn(chain[chain.length - 2]!, chain[chain.length - 1]!, point) <= 0) chain.pop();
            chain.push(point);
        }
        return chain.slice(0, -1);
    };
    return sorted.length < 3 ? sorted : [...half(sorted), ...half(sorted.reverse())];
}
