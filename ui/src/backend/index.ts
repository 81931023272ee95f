// The desk that this page talks to.

import type { Answer, Ask, Backend, CommandName } from './backend';
import { HttpBackend } from './http';
import { isInWindow, TauriBackend } from './tauri';

export { Refused } from './backend';
export type { Answer, Ask, Beside, CommandName, PictureSize, Reply, WorkState } from './backend';

export const backend: Backend = isInWindow() ? new TauriBackend() : new HttpBackend();

/** Calls a command for its answer alone. */
export async function call<C extends CommandName>(name: C, ask: Ask<C>): Promise<Answer<C>> {
    return (await backend.reply(name, ask)).answer;
}
