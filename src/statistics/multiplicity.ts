/*
 * Adjusted p-values of one family. A null takes no part and stays null; the family is what is left. Each throws a
 * RangeError on a p-value outside 0 … 1.
 */

/** Benjamini & Hochberg (1995, JRSS B 57:289-300): smallest false discovery rate at which each is rejected. */
export function benjaminiHochberg(p: readonly (number | null)[]): (number | null)[] {
  return adjust(p, "descending", (value, rank, size) => (value * size) / rank);
}

/** Holm (1979, Scand. J. Stat. 6:65-70): familywise error, stepping down. */
export function holm(p: readonly (number | null)[]): (number | null)[] {
  return adjust(p, "ascending", (value, rank, size) => value * (size - rank + 1));
}

/** Bonferroni: familywise error in one step. */
export function bonferroni(p: readonly (number | null)[]): (number | null)[] {
  return adjust(p, "ascending", (value, _rank, size) => value * size);
}

/** Scales each p by its rank (1 = smallest), then keeps the order: running maxima upward or minima downward. */
function adjust(
  p: readonly (number | null)[],
  direction: "ascending" | "descending",
  scale: (value: number, rank: number, size: number) => number,
): (number | null)[] {
  const present: { value: number; at: number }[] = [];
  p.forEach((value, at) => {
    if (value === null) return;
    if (!(value >= 0 && value <= 1)) throw new RangeError(`a p-value lies within 0 and 1, not ${value}`);
    present.push({ value, at });
  });
  present.sort((a, b) => a.value - b.value);
  const size = present.length;
  const adjusted: (number | null)[] = p.map(() => null);
  let running = direction === "ascending" ? 0 : 1;
  for (let step = 0; step < size; step++) {
    const rank = direction === "ascending" ? step + 1 : size - step;
    const { value, at } = present[rank - 1];
    const scaled = scale(value, rank, size);
    running = Math.min(1, direction === "ascending" ? Math.max(running, scaled) : Math.min(running, scaled));
    adjusted[at] = running;
  }
  return adjusted;
}
