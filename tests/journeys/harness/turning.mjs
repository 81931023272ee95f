// How smoothly the shell turns under a finger.

/**
 * Turns the drawing for a while, a step with every frame, as a finger does.
 * @param {import('playwright-core').Page} page the room Shape, drawn in space
 * @returns {Promise<{perSecond: number, slowestMs: number}>} frames a second, and what the slowest frame in twenty took
 */
export function turned(page, seconds = 4) {
    return page.evaluate(
        (ms) =>
            new Promise((done) => {
                const drawing = document.querySelector('[data-testid="shape-drawing"]');
                const { left, top, width, height } = drawing.getBoundingClientRect();
                // A finger that is made here cannot be captured.
                drawing.setPointerCapture = () => {};
                const finger = (type, x) =>
                    drawing.dispatchEvent(
                        new PointerEvent(type, {
                            pointerId: 7,
                            pointerType: 'touch',
                            clientX: left + width / 4 + x,
                            clientY: top + height / 2,
                            buttons: 1,
                            bubbles: true,
                        }),
                    );
                finger('pointerdown', 0);
                const began = performance.now();
                const took = [];
                let last = began;
                let x = 0;
                const step = () => {
                    const now = performance.now();
                    took.push(now - last);
                    last = now;
                    finger('pointermove', (x += 3));
                    if (now - began < ms) return requestAnimationFrame(step);
                    finger('pointerup', x);
                    took.sort((a, b) => a - b);
                    done({ perSecond: (took.length * 1000) / (now - began), slowestMs: took[Math.floor(took.length * 0.95)] });
                };
                requestAnimationFrame(step);
            }),
        1000 * seconds,
    );
}
