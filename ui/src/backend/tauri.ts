// The desk in the same program, for the window.

import { convertFileSrc, invoke } from '@tauri-apps/api/core';

import { type Ask, type Backend, type Beside, type CommandName, type PictureSize, Refused, type Reply, type WorkState } from './backend';
import { isRefusal, noDesk } from './backend';
import { pack, unpack } from './envelope';

/** Whether this page is shown by the window. */
export function isInWindow(): boolean {
    return '__TAURI_INTERNALS__' in window;
}

export class TauriBackend implements Backend {
    async reply<C extends CommandName>(name: C, ask: Ask<C>, beside: Beside = {}): Promise<Reply<C>> {
        const headers: Record<string, string> = { 'trammel-command': name };
        if (beside.work !== undefined) headers['trammel-work'] = String(beside.work);
        const packed = await asked(invoke<ArrayBuffer>('desk', pack(ask, beside.bytes), { headers }));
        const { json, bytes } = unpack(packed);
        const { answer, media_type } = json as { answer: Reply<C>['answer']; media_type: string | null };
        return { answer, bytes, mediaType: media_type };
    }

    work(number: number): Promise<WorkState | null> {
        return asked(invoke<WorkState | null>('work', { number }));
    }

    stop(number: number): Promise<void> {
        return asked(invoke<void>('stop', { number }));
    }

    // The window shows pictures by a protocol of its own, and tells what is not there by the picture that fails.
    picture(photo: string, size: PictureSize): Promise<string> {
        // A path given to it would have its slash written as a sign of its own.
        return Promise.resolve(`${convertFileSrc('', 'photo')}${size}/${photo}`);
    }

    async save(name: string, content: BlobPart): Promise<string | null> {
        const bytes = new Uint8Array(await new Blob([content]).arrayBuffer());
        return asked(invoke<string>('save', pack({ name }, bytes)));
    }
}

async function asked<T>(answer: Promise<T>): Promise<T> {
    try {
        return await answer;
    } catch (said) {
        throw isRefusal(said) ? new Refused(said) : noDesk(String(said));
    }
}
