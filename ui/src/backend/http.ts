// The desk behind the bridge, for a browser on the same device.

import { type Ask, type Backend, type Beside, type CommandName, type PictureSize, Refused, type Reply, type WorkState } from './backend';
import { isRefusal, noDesk } from './backend';
import { pack, unpack } from './envelope';
import { Pictures } from './pictures';

const KEPT = 'trammel-token';

/** The token of this start: from the address that the program printed, kept for the tab, taken off the address bar. */
function tokenOfThisStart(): string {
    const given = /(?:^#|&)token=([^&]+)/.exec(location.hash)?.[1];
    if (given) {
        sessionStorage.setItem(KEPT, given);
        history.replaceState(null, '', location.pathname);
    }
    return given ?? sessionStorage.getItem(KEPT) ?? '';
}

export class HttpBackend implements Backend {
    readonly #token = tokenOfThisStart();
    readonly #pictures = new Pictures((path) => this.#picture(path));

    async reply<C extends CommandName>(name: C, ask: Ask<C>, beside: Beside = {}): Promise<Reply<C>> {
        const headers: Record<string, string> = { 'Trammel-Token': this.#token };
        if (beside.work !== undefined) headers['Trammel-Work'] = String(beside.work);
        const answered = await this.#post(`desk/${name}`, headers, pack(ask, beside.bytes));
        const { json, bytes } = unpack(await answered.arrayBuffer());
        const { answer, media_type } = json as { answer: Reply<C>['answer']; media_type: string | null };
        return { answer, bytes, mediaType: media_type };
    }

    async work(number: number): Promise<WorkState | null> {
        const answered = await this.#post(`work/${number}`, { 'Trammel-Token': this.#token });
        return (await answered.json()) as WorkState | null;
    }

    async stop(number: number): Promise<void> {
        await this.#post(`stop/${number}`, { 'Trammel-Token': this.#token });
    }

    picture(photo: string, size: PictureSize): Promise<string> {
        return this.#pictures.address(`${size}/${photo}`);
    }

    // The browser asks where, or puts it with the downloads.
    async save(name: string, content: BlobPart, mediaType: string): Promise<string | null> {
        const address = URL.createObjectURL(new Blob([content], { type: mediaType }));
        const link = document.createElement('a');
        link.href = address;
        link.download = name;
        document.body.append(link);
        link.click();
        link.remove();
        // A slow device is still reading it when the click returns.
        setTimeout(() => URL.revokeObjectURL(address), 60_000);
        return null;
    }

    // A picture element sends no token: the bytes are fetched with it and kept as an address of this page.
    async #picture(path: string): Promise<Blob> {
        const answered = await this.#fetched(`photo/${path}`, { headers: { 'Trammel-Token': this.#token } });
        return answered.blob();
    }

    #post(path: string, headers: Record<string, string>, body?: Uint8Array<ArrayBuffer>): Promise<Response> {
        return this.#fetched(path, { method: 'POST', headers, body: body ?? null });
    }

    async #fetched(path: string, how: RequestInit): Promise<Response> {
        let answered: Response;
        try {
            answered = await fetch(path, how);
        } catch (cause) {
            throw noDesk(String(cause));
        }
        if (answered.ok) return answered;
        if (answered.status === 401 || answered.status === 403) throw noDesk(await answered.text());
        const said: unknown = await answered.json().catch(() => null);
        throw isRefusal(said) ? new Refused(said) : noDesk(`${answered.status}`);
    }
}
