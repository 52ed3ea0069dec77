import { hmacSha256 } from "../records/hmac-sha256.ts";
import type { Named } from "../records/kind.ts";

/** A name that a keeper gave, in the flock in which it holds; empty where it holds in the whole book. */
export interface NamedThing {
  readonly named: Named;
  readonly flock: string;
  readonly original: string;
}

export interface StudyNumber extends NamedThing {
  readonly number: string;
}

/** Digits and letters that cannot be taken for each other, thirty-two of them: five bits each. */
const LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const LENGTH = 6;

/**
 * A number for every name: `pen-4T0ZQK`. It follows from the secret and the name alone, so that it stays the same
 * whatever else the book holds; of two names that come to the same number (for a thousand animals about one chance in
 * two thousand) the later in order takes another.
 */
export function studyNumbers(secret: string, things: readonly NamedThing[]): readonly StudyNumber[] {
  const taken = new Set<string>();
  const key = ({ named, flock, original }: NamedThing): string => JSON.stringify([named, flock, original]);
  const inOrder = new Map(things.map((thing) => [key(thing), thing]));
  return [...inOrder.keys()].sort().map((name) => {
    const thing = inOrder.get(name)!;
    for (let attempt = 0; ; attempt++) {
      const number = `${thing.named}-${letters(hmacSha256(secret, JSON.stringify([name, attempt])))}`;
      if (taken.has(number)) continue;
      taken.add(number);
      return { ...thing, number };
    }
  });
}

function letters(hexadecimal: string): string {
  let bits = Number.parseInt(hexadecimal.slice(0, 8), 16) >>> 2;
  let text = "";
  for (let i = 0; i < LENGTH; i++) {
    text += LETTERS[bits & 31];
    bits >>>= 5;
  }
  return text;
}
