// The one shape of requests and answers in both shells: the length of the JSON (u32, little endian), the JSON, bytes.

/** Packs JSON and bytes. */
export function pack(json: unknown, bytes: Uint8Array = new Uint8Array()): Uint8Array<ArrayBuffer> {
    const text = new TextEncoder().encode(JSON.stringify(json ?? null));
    const packed = new Uint8Array(4 + text.length + bytes.length);
    new DataView(packed.buffer).setUint32(0, text.length, true);
    packed.set(text, 4);
    packed.set(bytes, 4 + text.length);
    return packed;
}

/** Takes an envelope apart. */
export function unpack(packed: ArrayBuffer): { json: unknown; bytes: Uint8Array<ArrayBuffer> } {
    if (packed.byteLength < 4) throw new Error('the answer is cut off');
    const length = new DataView(packed).getUint32(0, true);
    if (packed.byteLength < 4 + length) throw new Error('the answer is cut off');
    const text = new TextDecoder().decode(new Uint8Array(packed, 4, length));
    return { json: JSON.parse(text) as unknown, bytes: new Uint8Array(packed, 4 + length) };
}
