// What the drawing of the shell says to the last px, and what a finger does on it.

/** The prick marks of a flat view, by label: where each is on the drawing. */
export function pricks(page) {
    return page.evaluate(() =>
        [...document.querySelectorAll('[data-testid="shape-flat"] circle.prick')].map((circle) => ({
            label: circle.dataset.label,
            x: Number(circle.getAttribute('cx')),
            y: Number(circle.getAttribute('cy')),
        })),
    );
}

/** The ellipses of a flat view, by label: semi-axes in px, and the angle of the longer one in degrees. */
export function ellipses(page) {
    return page.evaluate(() =>
        [...document.querySelectorAll('[data-testid="shape-flat"] ellipse')].map((ellipse) => ({
            label: ellipse.dataset.label,
            long: Number(ellipse.getAttribute('rx')),
            short: Number(ellipse.getAttribute('ry')),
            angle: Number(/rotate\(([-\d.e]+)\)/.exec(ellipse.getAttribute('transform'))[1]),
        })),
    );
}

/** Touches the drawing where a point is, in a flat view. */
export async function touchPoint(screens, label) {
    // The drawing takes the room that the page below it leaves.
    await screens.settled();
    const at = (await pricks(screens.page)).find((prick) => prick.label === label);
    if (!at) throw new Error(`${label} is not drawn`);
    const box = await screens.one('shape-drawing').boundingBox();
    const [x, y] = [box.x + at.x, box.y + at.y];
    const isTouched = await screens.page.evaluate(() => navigator.maxTouchPoints > 0);
    await (isTouched ? screens.page.touchscreen.tap(x, y) : screens.page.mouse.click(x, y));
    await screens.settled();
}

/**
 * The similarity without reflection that takes places to marks best, by least squares: x' = a x - b y + c, y' = b x + a y + d.
 * The closed form of Horn (J. Opt. Soc. Am. A 4, 1987) in the plane.
 * @param {{from: [number, number], to: [number, number]}[]} pairs
 */
export function similarity(pairs) {
    const mean = (pick) => pairs.reduce((sum, pair) => sum + pick(pair), 0) / pairs.length;
    const [fx, fy] = [mean(({ from }) => from[0]), mean(({ from }) => from[1])];
    const [tx, ty] = [mean(({ to }) => to[0]), mean(({ to }) => to[1])];
    let [same, turned, size] = [0, 0, 0];
    for (const { from, to } of pairs) {
        const [x, y, u, v] = [from[0] - fx, from[1] - fy, to[0] - tx, to[1] - ty];
        same += x * u + y * v;
        turned += x * v - y * u;
        size += x * x + y * y;
    }
    const [a, b] = [same / size, turned / size];
    const apply = ([x, y]) => [tx + a * (x - fx) - b * (y - fy), ty + b * (x - fx) + a * (y - fy)];
    const off = Math.max(...pairs.map(({ from, to }) => Math.hypot(apply(from)[0] - to[0], apply(from)[1] - to[1])));
    return { scale: Math.hypot(a, b), turn: Math.atan2(b, a), off };
}
