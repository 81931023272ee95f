// What a person does on the screens, and what they read there. Things are found by the test ids of
// `ui/src/parts/ids.ts` and by their names.

import { PATIENCE_MS } from './chromium.mjs';

const ENDS = ['from', 'to', 'end-c', 'end-d'];
const UNITS = ['in', 'mm', 'cm'];

export class Screens {
    /** How often something was touched. */
    touches = 0;
    /** What was said last of how a reading is held; nothing where the pad may have changed it. */
    #held = null;
    #isTouched;
    #asked = 0;
    #answered = 0;

    /**
     * @param {import('playwright-core').Page} page
     * @param {import('./device.mjs').Device} device
     * @param {(doing: string) => void} step
     */
    constructor(page, device, step = () => {}) {
        this.page = page;
        this.device = device;
        this.step = step;
        page.on('request', () => (this.#asked += 1));
        page.on('requestfinished', () => (this.#answered += 1));
        page.on('requestfailed', () => (this.#answered += 1));
    }

    /** Everything with this test id, and maybe these further marks on it. */
    all(id, marks = '') {
        return this.page.locator(`[data-testid="${id}"]${marks}`);
    }

    /** One of them. */
    one(id, marks = '') {
        return this.all(id, marks).first();
    }

    /** Touches something as the size has it: with a finger or a mouse. */
    async touch(what) {
        const target = typeof what === 'string' ? this.one(what) : what;
        this.touches += 1;
        this.#isTouched ??= await this.page.evaluate(() => navigator.maxTouchPoints > 0);
        await (this.#isTouched ? target.tap() : target.click());
    }

    /** Opens the address that the bridge printed, and waits until the pages can be used; in a room, with the first job. */
    async open(room = '') {
        this.step('opening the page');
        const serving = await this.device.serve();
        if (room) await this.#takeUpAJob(serving);
        await this.page.goto(serving.link);
        await this.page.locator('[data-ready]').waitFor();
        if (room) await this.go(room);
    }

    /** A job that was made by the command line is not the one that the pages had open last. */
    async #takeUpAJob(serving) {
        const [first] = await serving.ask('jobs', {});
        const { job } = await serving.ask('device', {});
        if (first && !job) await serving.ask('set-device', { job: first.id });
    }

    /** Forgets what is on the pad. It is seen at the next start of the page. */
    async emptyPad() {
        const serving = await this.device.serve();
        const { job } = await serving.ask('device', {});
        if (job) await serving.ask('keep-draft', { job, draft: '{}' });
    }

    /** Goes to a room by its address, as a link does. */
    async go(room) {
        this.step(`going to ${room}`);
        await this.page.evaluate((room) => (location.hash = `#/${room}`), room);
        await this.settled();
    }

    /** Goes to a room by its tab, or by More where it has none. */
    async tab(room) {
        this.step(`going to ${room} by its tab`);
        const tab = this.one('tab', `[data-room="${room}"]`);
        if (await tab.isVisible()) await this.touch(tab);
        else {
            await this.touch(this.one('tab', '[data-room="more"]'));
            await this.touch(this.page.locator(`main a[href="#/${room}"]`).first());
        }
        await this.settled();
    }

    /** Touches an act that may lie under "more". */
    async uncover(act) {
        if (!(await this.one(act).isVisible())) await this.touch('reading-more');
        await this.touch(act);
    }

    /** Waits until all that was asked of the desk is answered and nothing more is asked because of it. */
    async settled() {
        const until = Date.now() + PATIENCE_MS;
        let asked;
        do {
            if (Date.now() > until) throw new Error('the page does not stop asking the desk');
            asked = this.#asked;
            // Two frames: one in which an answer is taken in, one in which it is shown.
            await this.page.evaluate(
                () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 20)))),
            );
        } while (this.#asked > this.#answered || asked !== this.#asked);
    }

    /** Makes a job on the first screen. */
    async makeJob(name, unit, person) {
        this.step(`making the job ${name}`);
        if (!(await this.one('job-name').isVisible())) await this.touch('job-new');
        await this.one('job-name').fill(name);
        const choice = this.one('job-unit', `[data-value="${unit}"]`);
        await this.touch(choice.locator('xpath=ancestor-or-self::label'));
        await this.one('job-person').fill(person);
        await this.touch('job-make');
        await this.settled();
    }

    /** Picks the points of the reading, in their order. What is not there yet is made. */
    async pick(...labels) {
        for (const [end, label] of labels.entries()) {
            if ((await this.endShows(end)) === label) continue;
            this.step(`picking ${label}`);
            if (!(await this.isPanelFor(end))) {
                if (await this.one('panel').isVisible()) await this.touch('panel-close');
                await this.touch(ENDS[end]);
            }
            await this.#choose(label);
        }
    }

    /** What stands at an end of the reading; empty where no point was picked. */
    async endShows(end) {
        const button = this.one(ENDS[end]);
        const isOpen = await button.evaluate((element) => element.classList.contains('open'));
        return isOpen ? '' : (await button.locator('.label').textContent()).trim();
    }

    /** Whether the panel is open and asks for this end: it goes on to the first one that is open. */
    async isPanelFor(end) {
        if (!(await this.one('panel').isVisible())) return false;
        for (let before = 0; before < end; before += 1) {
            if ((await this.endShows(before)) === '') return false;
        }
        return (await this.endShows(end)) === '';
    }

    async #choose(label) {
        const choice = this.one('point-choice', `[data-label="${label}"]`);
        if (!(await choice.isVisible())) {
            await this.one('point-search').fill(label);
            const made = this.one('point-new');
            await choice.or(made).first().waitFor();
            await this.touch((await choice.isVisible()) ? choice : made);
        } else await this.touch(choice);
    }

    /** Picks the kind of reading. */
    async pickKind(kind) {
        if ((await this.one('kind').getAttribute('data-kind')) === kind) return;
        this.step(`picking ${kind}`);
        this.#held = null;
        await this.touch('kind');
        await this.touch(this.one('kind-choice', `[data-kind="${kind}"]`));
    }

    /**
     * Says what a reading is read with and where from, as a sheet has it.
     * @param {{instrument: string, from: string, add: string}} how
     */
    async hold({ instrument, from, add }) {
        const wanted = [instrument, from || 'hook', add].join();
        if (wanted === this.#held) return;
        this.step(`holding it so: ${wanted}`);
        await this.touch('instrument');
        const panel = this.one('panel');
        await this.choose('instrument-choice', instrument);
        if (await panel.locator('[data-testid="read-from"]').first().isVisible()) {
            await this.choose('read-from', from || 'hook');
            await panel.getByRole('textbox').fill(add);
        }
        await this.touch(panel.locator('.slab'));
        this.#held = wanted;
    }

    /** Picks one of a few choices in a panel. */
    async choose(id, value) {
        const choice = this.one('panel').locator(`[data-testid="${id}"][data-value="${value}"]`);
        if (!(await choice.isChecked())) await this.touch(choice.locator('xpath=ancestor::label'));
    }

    /** Types a value on the keys of the pad, as it stands on paper: `42 3/8 in`, `3' 4 5/8"`, `1032 mm`, `12.4 deg`. */
    async key(text) {
        this.step(`keying ${text}`);
        const { unit, keys } = keysOf(text);
        if (unit !== 'deg') {
            for (let turn = 0; turn < UNITS.length && (await this.unit()) !== unit; turn += 1) {
                await this.touch(this.one('key', '[data-key="unit"]'));
            }
        }
        if (unit === 'in' && text.includes('.')) {
            // The pad has marks for inches; tenths are for a keyboard.
            await this.page.keyboard.type(text.replace(/ ?in$/, ''));
            return;
        }
        for (const [kind, name] of keys) {
            await this.touch(this.one(kind, `[data-${kind}="${name}"]`));
        }
    }

    /** The unit that bare digits have on the pad. */
    async unit() {
        return (await this.one('key', '[data-key="unit"]').locator('b').textContent()).trim();
    }

    /** What stands on the pad, as a screen reader hears it. */
    async typed() {
        const heard = this.one('value').locator('.figure .heard').first();
        return (await heard.count()) > 0 ? (await heard.textContent()).trim() : '';
    }

    /** Logs what is on the pad and gives the verdict. */
    async log() {
        this.step('logging');
        await this.touch('log');
        return this.verdict();
    }

    /** What the answer to the last reading says: fits, off, look-again, nothing-to-compare, first. */
    async verdict() {
        await this.one('answer').waitFor();
        return this.one('answer').getAttribute('data-verdict');
    }

    /** All words that can be read or heard on the page. */
    async words() {
        return (await this.page.locator('body').textContent()).replace(/\s+/g, ' ');
    }

    /** Readings of the open job as the desk has them. */
    async readings() {
        return (await this.job()).readings;
    }

    /** What the readings of the open job say together, as the desk has it. */
    async solved() {
        const serving = await this.device.serve();
        const { job } = await serving.ask('device', {});
        return serving.ask('solve', { job });
    }

    /** The open job as the desk has it. */
    async job() {
        const serving = await this.device.serve();
        const { job } = await serving.ask('device', {});
        return serving.ask('show', { job });
    }
}

/** The keys of a value, and the unit it is keyed in. */
export function keysOf(text) {
    const digits = (figure) => [...figure].map((sign) => ['key', sign === '.' ? 'point' : sign]);
    const fraction = (over, under) => {
        const sixteenths = (Number(over) * 16) / Number(under);
        const below = reduced(sixteenths - (sixteenths % 2), 16);
        const keyed = below[0] > 0 ? [['fraction', below.join('/')]] : [];
        return sixteenths % 2 === 0 ? keyed : [...keyed, ['key', 'up']];
    };
    const inFeet = /^(\d+)' (?:(\d+) ?)?(?:(\d+)\/(\d+))?"$/.exec(text);
    if (inFeet) {
        const [, feet, inches = '', over, under] = inFeet;
        return {
            unit: 'in',
            keys: [...digits(feet), ['key', 'ft'], ...digits(inches), ...(over ? fraction(over, under) : [])],
        };
    }
    const found = /^(-?)(\d+(?:\.\d+)?)?(?:[ -]?(\d+)\/(\d+))? ?(in|"|mm|cm|deg)$/.exec(text);
    if (!found) throw new Error(`the pad has no keys for ${text}`);
    const [, minus, figure = '', over, under, unit] = found;
    return {
        unit: unit === '"' ? 'in' : unit,
        keys: [...(minus ? [['key', 'sign']] : []), ...digits(figure), ...(over ? fraction(over, under) : [])],
    };
}

function reduced(over, under) {
    let [a, b] = [over, under];
    while (b > 0) [a, b] = [b, a % b];
    return [over / a, under / a];
}
