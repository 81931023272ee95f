// A client of the WebDriver protocol (https://www.w3.org/TR/webdriver2/), as little of it as the journeys need.

const ELEMENT = 'element-6066-11e4-a52e-4f735466cecf';

export class WebDriver {
    #base;

    constructor(base) {
        this.#base = base;
    }

    /** Begins a session. A driver whose program died at once never answers, so there is a limit. */
    static async session(port, capabilities, within) {
        const base = `http://127.0.0.1:${port}`;
        const { sessionId } = await send('POST', `${base}/session`, { capabilities: { alwaysMatch: capabilities } }, within);
        return new WebDriver(`${base}/session/${sessionId}`);
    }

    end() {
        return send('DELETE', this.#base, undefined, 10_000);
    }

    /** Runs a function in the page; its arguments and its answer are JSON. */
    run(work, ...args) {
        return this.#post('execute/sync', { script: `return (${work})(...arguments)`, args });
    }

    async find(selector) {
        const found = await this.#post('element', { using: 'css selector', value: selector });
        return found[ELEMENT];
    }

    click(element) {
        return this.#post(`element/${element}/click`, {});
    }

    clear(element) {
        return this.#post(`element/${element}/clear`, {});
    }

    write(element, text) {
        return this.#post(`element/${element}/value`, { text });
    }

    resize(width, height) {
        return this.#post('window/rect', { width, height });
    }

    source() {
        return send('GET', `${this.#base}/source`, undefined, 5_000);
    }

    async picture() {
        return Buffer.from(await send('GET', `${this.#base}/screenshot`, undefined, 10_000), 'base64');
    }

    #post(what, body) {
        return send('POST', `${this.#base}/${what}`, body, 60_000);
    }
}

async function send(method, url, body, within) {
    const response = await fetch(url, {
        method,
        body: body === undefined ? undefined : JSON.stringify(body),
        headers: body === undefined ? {} : { 'Content-Type': 'application/json' },
        signal: AbortSignal.timeout(within),
    }).catch((cause) => {
        const why = cause.name === 'TimeoutError' ? `no answer within ${within / 1000} s` : (cause.cause?.message ?? cause.message);
        throw new Error(`the window's driver: ${why} (${method} ${new URL(url).pathname.split('/').slice(-2).join('/')})`);
    });
    const { value } = await response.json();
    if (!response.ok) throw new Error(`${value.error}: ${value.message}`);
    return value;
}
