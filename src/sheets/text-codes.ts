/** Most texts of one column held at a time. */
const mostTexts = 65_536;

/** Distinct texts, numbered in the order in which they came; found without cutting them out of the text again. */
export class TextCodes {
  texts: string[] = [];
  /** Hashes of the texts. */
  #hashes = new Int32Array(64);
  /** Places by hash: the number of a text and one, 0 where free; a power of two of them, half at most taken. */
  #places = new Int32Array(128);

  /** Starts another list when this one has grown long. */
  forgetIfMany(): void {
    if (this.texts.length < mostTexts) return;
    this.texts = [];
    this.#hashes = new Int32Array(64);
    this.#places = new Int32Array(128);
  }

  /** The number of the text between two places; `hash` is the same for equal texts. */
  codeOf(text: string, start: number, end: number, hash: number): number {
    const places = this.#places;
    const mask = places.length - 1;
    for (let place = spread(hash) & mask; places[place] !== 0; place = (place + 1) & mask) {
      const code = places[place]! - 1;
      if (this.#hashes[code] === hash && isAt(text, start, end, this.texts[code]!)) return code;
    }
    return this.#add(copyOf(text, start, end), hash);
  }

  #add(text: string, hash: number): number {
    const code = this.texts.length;
    if (code === this.#hashes.length) this.#grow();
    this.texts.push(text);
    this.#hashes[code] = hash;
    this.#places[freePlace(this.#places, hash)] = code + 1;
    return code;
  }

  #grow(): void {
    const hashes = new Int32Array(2 * this.#hashes.length);
    hashes.set(this.#hashes);
    const places = new Int32Array(2 * this.#places.length);
    this.texts.forEach((_, code) => {
      places[freePlace(places, hashes[code]!)] = code + 1;
    });
    this.#hashes = hashes;
    this.#places = places;
  }
}

function freePlace(places: Int32Array, hash: number): number {
  const mask = places.length - 1;
  let place = spread(hash) & mask;
  while (places[place] !== 0) place = (place + 1) & mask;
  return place;
}

function spread(hash: number): number {
  return Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d) >>> 8;
}

function isAt(text: string, start: number, end: number, known: string): boolean {
  if (known.length !== end - start) return false;
  for (let i = 0; i < known.length; i++) if (text.charCodeAt(start + i) !== known.charCodeAt(i)) return false;
  return true;
}

/** A longer piece would keep all of the text that it was cut from in memory. */
function copyOf(text: string, start: number, end: number): string {
  const piece = text.slice(start, end);
  return piece.length < 13 ? piece : ` ${piece}`.slice(1);
}
