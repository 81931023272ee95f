// What the screens ask of the desk. Two shells answer: the window (tauri.ts) and the bridge in a browser (http.ts).

import type { Code, Commands, RefusalWire } from '../gen/wire';

export type CommandName = keyof Commands;
export type Ask<C extends CommandName> = Commands[C]['ask'];
export type Answer<C extends CommandName> = Commands[C]['answer'];

/** What goes beside a call. */
export interface Beside {
    /** A photo or a job file. */
    bytes?: Uint8Array;
    /** The number of a long work, by which it is watched and stopped. */
    work?: number;
}

/** An answer, with the bytes of what is no JSON. */
export interface Reply<C extends CommandName> {
    answer: Answer<C>;
    bytes: Uint8Array<ArrayBuffer>;
    mediaType: string | null;
}

/** How far a long work is. */
export interface WorkState {
    doing: string;
    done: number;
    of: number | null;
}

/** How large a picture is: longest edge 256 px, 1280 px, or as it was taken. */
export type PictureSize = 'small' | 'large' | 'original';

/** A shell that carries commands to the desk. */
export interface Backend {
    reply<C extends CommandName>(name: C, ask: Ask<C>, beside?: Beside): Promise<Reply<C>>;
    /** How far a long work is; nothing where it is over. */
    work(number: number): Promise<WorkState | null>;
    /** Asks a long work to stop. */
    stop(number: number): Promise<void>;
    /** An address at which a picture can be shown; `photo` is its hash. Refused where it is not on this device. */
    picture(photo: string, size: PictureSize): Promise<string>;
    /** Hands a file over. Says where it is, where the shell knows. */
    save(name: string, content: BlobPart, mediaType: string): Promise<string | null>;
}

/** Why a command did nothing: a code of the closed set, or that the desk could not be reached. */
export class Refused extends Error {
    readonly code: Code | 'no-desk';
    readonly problems: RefusalWire['problems'];

    constructor(refusal: RefusalWire | { code: 'no-desk'; message: string; problems: RefusalWire['problems'] }) {
        super(refusal.message);
        this.name = 'Refused';
        this.code = refusal.code;
        this.problems = refusal.problems;
    }
}

/** The desk is not there: the program was closed, or the page's token is of an earlier start. */
export function noDesk(message: string): Refused {
    return new Refused({ code: 'no-desk', message, problems: [] });
}

/** Whether something that was thrown is a refusal as the desk writes it. */
export function isRefusal(value: unknown): value is RefusalWire {
    return typeof value === 'object' && value !== null && 'code' in value && 'message' in value;
}
