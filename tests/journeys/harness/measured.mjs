// What can be measured on a page: how large its targets are, whether anything is cut off, covered or out of reach, and
// whether anything moves. Each function gives a line for each element that is not as it must be.

/** @typedef {import('playwright-core').Page} Page */

/**
 * Controls smaller than a finger, in px. A control in a label is as large as its label.
 * @param {Page} page
 * @param {number} least of every control
 * @param {number} leastKey of the keys of the pad
 */
export function smallTargets(page, least, leastKey = least) {
    return page.evaluate(
        ({ least, leastKey }) => {
            const { controls, called } = window.measured;
            return controls().flatMap((control) => {
                const box = (control.closest('label') ?? control).getBoundingClientRect();
                const wanted = control.matches('[data-testid=key]') ? leastKey : least;
                // Half a pixel is for sizes that come out of a division.
                if (box.width >= wanted - 0.5 && box.height >= wanted - 0.5) return [];
                return [`${called(control)} is ${box.width.toFixed(1)} x ${box.height.toFixed(1)}, not ${wanted}`];
            });
        },
        { least, leastKey },
    );
}

/**
 * Whether the page itself must be pushed sideways to be read.
 * @param {Page} page
 */
export function sideways(page) {
    return page.evaluate(() => {
        const { called, isShown } = window.measured;
        const width = document.documentElement.clientWidth;
        const found = [];
        if (document.documentElement.scrollWidth > width) found.push(`the page is ${document.documentElement.scrollWidth} wide of ${width}`);
        for (const element of document.querySelectorAll('body *')) {
            if (!isShown(element) || element.closest('svg, .heard')) continue;
            const style = getComputedStyle(element);
            // A drawing or a sheet of paper may be wider than the screen, in a frame of its own that keys can push.
            const scrolls = ['auto', 'scroll'].includes(style.overflowX) && element.tabIndex < 0;
            if (scrolls && element.scrollWidth > element.clientWidth + 1 && element.clientWidth > 0.8 * width) {
                found.push(`${called(element)} must be pushed sideways: ${element.scrollWidth} wide of ${element.clientWidth}`);
            }
        }
        return found;
    });
}

/**
 * Text that is cut off where nobody can push it into view, or that lies under other text.
 * @param {Page} page
 */
export function cutOffOrCovered(page) {
    return page.evaluate(() => {
        const { called, isShown } = window.measured;
        const found = [];
        const pieces = [];
        const walker = document.createTreeWalker(window.measured.top(), NodeFilter.SHOW_TEXT);
        for (let node = walker.nextNode(); node; node = walker.nextNode()) {
            const owner = node.parentElement;
            if (!node.data.trim() || !owner || !isShown(owner) || owner.closest('.heard, script, style, title')) continue;
            const range = document.createRange();
            range.selectNodeContents(node);
            const clip = visiblePart(owner);
            for (const box of range.getClientRects()) {
                if (box.width < 1 || box.height < 1) continue;
                if (owner.closest('svg')) continue;
                if (box.right > clip.hardRight + 1.5 || box.left < clip.hardLeft - 1.5 || box.bottom > clip.hardBottom + box.height * 0.3 || box.top < clip.hardTop - box.height * 0.3) {
                    found.push(`"${node.data.trim()}" in ${called(owner)} is cut off`);
                    break;
                }
                // Letters fill the middle of their line.
                const slim = box.height * 0.25;
                const seen = {
                    left: Math.max(box.left, clip.left),
                    right: Math.min(box.right, clip.right),
                    top: Math.max(box.top + slim, clip.top),
                    bottom: Math.min(box.bottom - slim, clip.bottom),
                };
                if (seen.right - seen.left > 1 && seen.bottom - seen.top > 1) pieces.push({ node, owner, ...seen });
            }
        }
        for (const [index, one] of pieces.entries()) {
            for (const other of pieces.slice(index + 1)) {
                if (one.owner === other.owner || sameFigure(one.owner, other.owner) || stays(one.owner) !== stays(other.owner)) continue;
                const wide = Math.min(one.right, other.right) - Math.max(one.left, other.left);
                const high = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
                if (wide > 2 && high > 2) {
                    found.push(`"${one.node.data.trim()}" in ${called(one.owner)} and "${other.node.data.trim()}" in ${called(other.owner)} overlap`);
                }
            }
        }
        return [...new Set(found)];

        // What stays at an edge while the rest is scrolled lies over it on purpose.
        function stays(element) {
            for (let at = element; at; at = at.parentElement) {
                if (['sticky', 'fixed'].includes(getComputedStyle(at).position)) return at;
            }
            return null;
        }

        // The figures of one length are set closer than lines of text are.
        function sameFigure(one, other) {
            const figure = one.closest('.n');
            return figure !== null && figure === other.closest('.n');
        }

        // What of an element can be seen, and what could be seen by scrolling: `hard` is where nothing helps.
        function visiblePart(element) {
            const all = { left: -1e6, right: 1e6, top: -1e6, bottom: 1e6 };
            const part = { ...all, hardLeft: -1e6, hardRight: 1e6, hardTop: -1e6, hardBottom: 1e6 };
            let mayScrollX = false;
            let mayScrollY = false;
            for (let at = element; at && at !== document.documentElement; at = at.parentElement) {
                const style = getComputedStyle(at);
                const box = at.getBoundingClientRect();
                if (style.overflowX !== 'visible') {
                    part.left = Math.max(part.left, box.left);
                    part.right = Math.min(part.right, box.right);
                    if (['auto', 'scroll'].includes(style.overflowX)) mayScrollX = true;
                    else if (!mayScrollX) {
                        part.hardLeft = Math.max(part.hardLeft, box.left);
                        part.hardRight = Math.min(part.hardRight, box.right);
                    }
                }
                if (style.overflowY !== 'visible') {
                    part.top = Math.max(part.top, box.top);
                    part.bottom = Math.min(part.bottom, box.bottom);
                    if (['auto', 'scroll'].includes(style.overflowY)) mayScrollY = true;
                    else if (!mayScrollY) {
                        part.hardTop = Math.max(part.hardTop, box.top);
                        part.hardBottom = Math.min(part.hardBottom, box.bottom);
                    }
                }
                if (style.position === 'fixed') break;
            }
            if (!mayScrollX) {
                part.hardLeft = Math.max(part.hardLeft, 0);
                part.hardRight = Math.min(part.hardRight, innerWidth);
            }
            if (!mayScrollY) {
                part.hardTop = Math.max(part.hardTop, 0);
                part.hardBottom = Math.min(part.hardBottom, innerHeight);
            }
            part.left = Math.max(part.left, 0);
            part.right = Math.min(part.right, innerWidth);
            part.top = Math.max(part.top, 0);
            part.bottom = Math.min(part.bottom, innerHeight);
            return part;
        }
    });
}

/**
 * Controls that cannot be brought to where they can be hit.
 * @param {Page} page
 */
export function outOfReach(page) {
    return page.evaluate(() => {
        const { controls, called } = window.measured;
        const found = [];
        for (const control of controls()) {
            if (control.disabled) continue;
            const target = control.closest('label') ?? control;
            target.scrollIntoView({ block: 'center', inline: 'center', behavior: 'instant' });
            const box = target.getBoundingClientRect();
            const x = box.left + box.width / 2;
            const y = box.top + box.height / 2;
            const hit = document.elementFromPoint(x, y);
            const isHit = hit && (target.contains(hit) || hit.contains(control) || hit.closest('label')?.control === control);
            if (!isHit) found.push(`${called(control)} cannot be hit at ${x.toFixed(0)}, ${y.toFixed(0)}${hit ? `: ${called(hit)} is there` : ''}`);
        }
        return found;
    });
}

/**
 * What still moves though the device asks for stillness.
 * @param {Page} page
 */
export function moving(page) {
    return page.evaluate(() =>
        document
            .getAnimations()
            .filter((animation) => animation.playState === 'running')
            .map((animation) => `${window.measured.called(animation.effect.target)} moves`),
    );
}

/**
 * Puts what the measuring shares into the page.
 * @param {Page} page
 */
export function prepare(page) {
    return page.evaluate(() => {
        const isShown = (element) => element.checkVisibility({ visibilityProperty: true, opacityProperty: false });
        // A panel over the page leaves only itself to be touched.
        const top = () => [...document.querySelectorAll('dialog:modal')].at(-1) ?? document.body;
        const TOUCHED = 'a[href], button, input:not([type=hidden]), select, textarea, summary, [role=button], [role=tab], [tabindex="0"]:not(div):not(section)';
        window.measured = {
            isShown,
            top,
            controls: () =>
                [...top().querySelectorAll(TOUCHED)].filter((control) => isShown(control.closest('label') ?? control) && !control.closest('[inert]')),
            called(element) {
                const id = element.dataset?.testid;
                const words = (element.getAttribute('aria-label') ?? element.textContent ?? '').trim().replace(/\s+/g, ' ').slice(0, 40);
                return `${element.tagName.toLowerCase()}${id ? `[${id}]` : ''}${words ? ` "${words}"` : ''}`;
            },
        };
    });
}
