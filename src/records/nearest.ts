/**
 * The known word nearest to a word that is not known, for advice only: nothing is ever matched by it.
 * Nearness is the optimal string alignment distance (insert, drop, change, swap of neighbours) on folded text.
 */
export function nearest(word: string, known: Iterable<string>): string | null {
  const wanted = fold(word);
  let best: string | null = null;
  let least = Math.max(1, Math.ceil(wanted.length / 2)) + 1;
  for (const candidate of known) {
    const far = distance(wanted, fold(candidate), least);
    if (far < least) {
      least = far;
      best = candidate;
    }
  }
  return best;
}

/** Lower case, no accents, and leading zeros of a number dropped: `G4` is near `G00004`. */
function fold(text: string): string {
  return text
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/(^|[^0-9])0+(?=[0-9])/g, "$1");
}

function distance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) >= limit) return limit;
  let before: number[] = [];
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const change = a[i - 1] === b[j - 1] ? 0 : 1;
      let cost = Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + change);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        cost = Math.min(cost, before[j - 2]! + 1);
      next.push(cost);
    }
    before = row;
    row = next;
  }
  return row[b.length]!;
}
