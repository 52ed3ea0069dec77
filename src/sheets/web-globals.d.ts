/** The web platform's globals that `src` uses: both Node and browsers have them. */

declare class TextDecoder {
  constructor(label?: string, options?: { fatal?: boolean; ignoreBOM?: boolean });
  decode(input?: Uint8Array, options?: { stream?: boolean }): string;
}

declare class TextEncoder {
  encode(input: string): Uint8Array<ArrayBuffer>;
}
