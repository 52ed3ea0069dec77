/** Values of two groups seen in blocks (months) and clusters (animals), both numbered from 0. */
export interface ContrastRows {
  readonly value: ArrayLike<number>;
  readonly inGroup: ArrayLike<boolean>;
  readonly block: ArrayLike<number>;
  readonly cluster: ArrayLike<number>;
}

export interface ClusteredContrast {
  readonly estimate: number;
  readonly standardError: number;
  /** Clusters less 1. */
  readonly df: number;
}

/**
 * What a group's values differ by from the others' in the same block: least squares with an effect for each block, which
 * values and membership less their block means give (Frisch & Waugh 1933, Econometrica 1:387-401), and a variance that
 * holds when rows of a cluster go together (Liang & Zeger 1986, Biometrika 73:13-22), times G/(G − 1). undefined with
 * one cluster, or where no block holds both.
 */
export function clusteredContrast({
  value,
  inGroup,
  block,
  cluster,
}: ContrastRows): ClusteredContrast | undefined {
  const n = value.length;
  const sums = new Map<number, { rows: number; value: number; members: number }>();
  for (let i = 0; i < n; i++) {
    const own = sums.get(block[i]!) ?? { rows: 0, value: 0, members: 0 };
    own.rows++;
    own.value += value[i]!;
    own.members += inGroup[i] ? 1 : 0;
    sums.set(block[i]!, own);
  }
  const x = new Float64Array(n);
  const y = new Float64Array(n);
  let xx = 0;
  let xy = 0;
  for (let i = 0; i < n; i++) {
    const own = sums.get(block[i]!)!;
    x[i] = (inGroup[i] ? 1 : 0) - own.members / own.rows;
    y[i] = value[i]! - own.value / own.rows;
    xx += x[i]! * x[i]!;
    xy += x[i]! * y[i]!;
  }
  if (!(xx > 1e-9)) return undefined;
  const estimate = xy / xx;
  const scores = new Map<number, number>();
  for (let i = 0; i < n; i++) {
    scores.set(cluster[i]!, (scores.get(cluster[i]!) ?? 0) + x[i]! * (y[i]! - estimate * x[i]!));
  }
  const clusters = scores.size;
  if (clusters < 2) return undefined;
  let meat = 0;
  for (const score of scores.values()) meat += score * score;
  const standardError = Math.sqrt((meat * clusters) / (clusters - 1)) / xx;
  return { estimate, standardError, df: clusters - 1 };
}
