/** Numbers that follow from a seed: the same seed gives the same input again. */
export interface Random {
  /** A whole number from 0, below the bound. */
  below(bound: number): number;
  pick<T>(from: readonly T[]): T;
}

/** Marsaglia's xorshift on 32 bits with the triple 13, 17, 5 (2003, Journal of Statistical Software 8(14)). */
export function randomFrom(seed: number): Random {
  let state = Math.imul(seed + 1, 0x9e3779b1) | 1;
  const below = (bound: number): number => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) % bound;
  };
  return { below, pick: (from) => from[below(from.length)]! };
}
