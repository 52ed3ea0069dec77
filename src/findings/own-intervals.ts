import type { FlockGrowth } from "./growth-figures.ts";

/** One interval of an animal with its claws averaged: eight claws measured on one day count once. */
export interface OwnInterval {
  /** Position among the rows' animals. */
  readonly animal: number;
  readonly from: number;
  readonly to: number;
  readonly growthMm: number;
}

/**
 * An animal's intervals from its own records: claws averaged, each cleared of what the flock's claws of its foot and
 * side grow above or below the mean of all. Intervals that overlap (a claw that was missed at one visit) do not count
 * beside those they overlap.
 */
export function ownIntervals({ rows, model }: FlockGrowth): OwnInterval[] {
  const apart = clawEffects(rows.claws, model);
  const { spans } = rows;
  const sum = new Float64Array(spans.count);
  const claws = new Int32Array(spans.count);
  for (let i = 0; i < rows.count; i++) {
    const s = rows.span[i]!;
    sum[s]! += rows.growth[i]! - spans.months[s]! * apart[rows.claw[i]!]!;
    claws[s]!++;
  }
  const order = [...spans.animal.keys()].sort(
    (a, b) =>
      spans.animal[a]! - spans.animal[b]! || spans.to[a]! - spans.to[b]! || spans.from[b]! - spans.from[a]!,
  );
  const kept: OwnInterval[] = [];
  for (const s of order) {
    const last = kept.at(-1);
    if (last !== undefined && last.animal === spans.animal[s] && spans.from[s]! < last.to) continue;
    kept.push({
      animal: spans.animal[s]!,
      from: spans.from[s]!,
      to: spans.to[s]!,
      growthMm: sum[s]! / claws[s]!,
    });
  }
  return kept;
}

/** What each claw grows above the mean of the flock's claws by its foot and side, mm per 30 days. */
function clawEffects(claws: FlockGrowth["rows"]["claws"], model: FlockGrowth["model"]): Float64Array {
  const effect = (name: string): number => {
    if ("trouble" in model) return 0;
    const at = model.fit.fixedNames.indexOf(name);
    return at < 0 ? 0 : model.fit.fixedEffects[at]!;
  };
  const hind = effect("hind");
  const outer = effect("outer");
  const raw = Float64Array.from(
    claws,
    ({ foot, claw }) => (foot.endsWith("H") ? hind : 0) + (claw === "outer" ? outer : 0),
  );
  const mean = raw.reduce((total, one) => total + one, 0) / Math.max(1, raw.length);
  return raw.map((one) => one - mean);
}
