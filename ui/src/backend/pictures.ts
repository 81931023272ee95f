// Pictures that were fetched, as addresses of this page: so many bytes and no more, the ones not asked for longest let go.

/** What is kept at most, in bytes: some forty large pictures, or three as they were taken. */
const MOST_BYTES = 24 << 20;

interface Kept {
    address: Promise<string>;
    /** Nothing while it is fetched. */
    bytes: number;
}

export class Pictures {
    readonly #fetch: (path: string) => Promise<Blob>;
    readonly #most: number;
    /** The one asked for longest ago first. */
    readonly #kept = new Map<string, Kept>();

    constructor(fetch: (path: string) => Promise<Blob>, most = MOST_BYTES) {
        this.#fetch = fetch;
        this.#most = most;
    }

    /** The address of a picture, fetched once while it is kept. */
    address(path: string): Promise<string> {
        const known = this.#kept.get(path);
        const kept = known ?? this.#fetched(path);
        this.#kept.delete(path);
        this.#kept.set(path, kept);
        return kept.address;
    }

    #fetched(path: string): Kept {
        const kept: Kept = { bytes: 0, address: Promise.resolve('') };
        kept.address = this.#fetch(path).then(
            (blob) => {
                kept.bytes = blob.size;
                this.#letGo(path);
                return URL.createObjectURL(blob);
            },
            (cause: unknown) => {
                // What failed may be there the next time.
                this.#kept.delete(path);
                throw cause;
            },
        );
        return kept;
    }

    /** The newest stays, however large it is. */
    #letGo(newest: string): void {
        let bytes = [...this.#kept.values()].reduce((sum, kept) => sum + kept.bytes, 0);
        for (const [path, kept] of this.#kept) {
            if (bytes <= this.#most) return;
            if (path === newest || kept.bytes === 0) continue;
            bytes -= kept.bytes;
            this.#kept.delete(path);
            void kept.address.then((address) => URL.revokeObjectURL(address));
        }
    }
}
