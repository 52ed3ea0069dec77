import type { AnimalModelInput } from "../../src/statistics/pedigree/animal-model.ts";
import type { LogisticAnimalModelInput } from "../../src/statistics/pedigree/logistic-animal-model.ts";
import { type Pedigree, pedigree } from "../../src/statistics/pedigree/pedigree.ts";
import type { CandidateSire, PedigreeInput } from "../../src/statistics/pedigree/pedigree-input.ts";
import { indexDesign } from "../../src/statistics/pedigree/sparse-design.ts";
import { linesAsGroups } from "../../src/statistics/pedigree/unknown-parent-groups.ts";
import type { Random } from "../../src/statistics/random.ts";

export interface FlockPlan {
  /** Animals of each generation, founders first. */
  readonly generations: readonly number[];
  readonly siresPerGeneration: number;
  readonly lines: number;
  readonly recordsPerAnimal: number;
  readonly pens: number;
  readonly variances: FlockVariances;
  /** Parents come from every generation before, not the last alone. */
  readonly overlapping?: boolean;
  /** Animals of the first line over those of the last (default 1). */
  readonly firstLineOverLast?: number;
  /** Share of records taken in the line's own pen (default: none has one). */
  readonly inLinePen?: number;
  /** Share of kids whose sire is not on record. */
  readonly sireUnknown?: number;
  /** Share of kids whose sire is on record as one of two. */
  readonly sireOfTwo?: number;
}

export interface FlockVariances {
  readonly animal: number;
  readonly line: number;
  readonly permanent: number;
  readonly pen: number;
  readonly residual: number;
}

export interface SimulatedFlock {
  readonly pedigree: Pedigree;
  readonly male: Float64Array;
  /** Line of each animal: that of its dam. */
  readonly line: Int32Array;
  /** True breeding value, line part included. */
  readonly value: Float64Array;
  /** Animal and pen of each record. */
  readonly animal: Int32Array;
  readonly pen: Int32Array;
}

/** A flock with discrete generations: few sires, most matings within the line. */
export function simulatedFlock(plan: FlockPlan, random: Random): SimulatedFlock {
  const total = plan.generations.reduce((sum, n) => sum + n, 0);
  const sire = new Int32Array(total).fill(-1);
  const dam = new Int32Array(total).fill(-1);
  const line = new Int32Array(total);
  const male = Float64Array.from({ length: total }, (_, i) => i % 2);
  let start = 0;
  plan.generations.forEach((count, g) => {
    const previous = start - (plan.generations[g - 1] ?? 0);
    for (let i = start; i < start + count; i++) {
      if (g === 0) {
        line[i] = i < plan.lines ? i : lineOfFounder(plan, random);
        continue;
      }
      const oldest = plan.overlapping ? 0 : previous;
      dam[i] = oldest + 2 * random.integer(Math.floor((start - oldest) / 2));
      line[i] = line[dam[i]];
      // A sire of the dam's line four times out of five.
      for (let attempt = 0; attempt < 50; attempt++) {
        const chosen = previous + 1 + 2 * random.integer(plan.siresPerGeneration);
        sire[i] = chosen;
        if (line[chosen] === line[i] || random.bernoulli(0.2)) break;
      }
    }
    start += count;
  });
  const checked = pedigree({ ...recordedSires(plan, sire, random), dam });
  if (!checked.ok) throw new Error(`the simulated pedigree has faults: ${JSON.stringify(checked.faults[0])}`);
  const value = drawnValues(plan, sire, dam, line, random);
  const records = Array.from({ length: total }, (_, i) => i).flatMap((i) =>
    new Array(plan.recordsPerAnimal).fill(i),
  );
  return {
    pedigree: checked.pedigree,
    male,
    line,
    value,
    animal: Int32Array.from(records),
    pen: Int32Array.from(records, (i) =>
      random.bernoulli(plan.inLinePen ?? 0) ? line[i] % plan.pens : random.integer(plan.pens),
    ),
  };
}

/** Lines evenly, or each following one smaller by the same ratio. */
function lineOfFounder({ lines, firstLineOverLast = 1 }: FlockPlan, random: Random): number {
  const ratio = lines < 2 ? 1 : firstLineOverLast ** (-1 / (lines - 1));
  const sizes = Array.from({ length: lines }, (_, l) => ratio ** l);
  let left = random.uniform() * sizes.reduce((sum, size) => sum + size, 0);
  for (let l = 0; l < lines - 1; l++) {
    left -= sizes[l];
    if (left < 0) return l;
  }
  return lines - 1;
}

/** What is on record of the sires: some are unknown, some one of two of their generation. */
function recordedSires(
  { sireUnknown = 0, sireOfTwo = 0 }: FlockPlan,
  sire: Int32Array,
  random: Random,
): Pick<PedigreeInput, "sire" | "candidateSires"> {
  const told = sire.slice();
  const candidateSires = new Map<number, readonly CandidateSire[]>();
  for (let i = 0; i < sire.length; i++) {
    if (sire[i] < 0 || (sireUnknown === 0 && sireOfTwo === 0)) continue;
    if (random.bernoulli(sireUnknown)) told[i] = -1;
    else if (random.bernoulli(sireOfTwo)) {
      const other = sire[i - 1];
      if (other < 0 || other === sire[i]) continue;
      candidateSires.set(
        i,
        [sire[i], other].map((one) => ({ sire: one, probability: 0.5 })),
      );
    }
  }
  return { sire: told, candidateSires };
}

function drawnValues(
  plan: FlockPlan,
  sire: Int32Array,
  dam: Int32Array,
  line: Int32Array,
  random: Random,
): Float64Array {
  const lineMean = Float64Array.from(
    { length: plan.lines },
    () => Math.sqrt(plan.variances.line) * random.normal(),
  );
  const value = new Float64Array(sire.length);
  const relation = relationships(sire, dam);
  for (let i = 0; i < sire.length; i++) {
    if (sire[i] < 0) {
      value[i] = lineMean[line[i]] + Math.sqrt(plan.variances.animal) * random.normal();
      continue;
    }
    const mendelian = 0.5 - (relation[sire[i]][sire[i]] + relation[dam[i]][dam[i]] - 2) / 4;
    value[i] =
      (value[sire[i]] + value[dam[i]]) / 2 + Math.sqrt(plan.variances.animal * mendelian) * random.normal();
  }
  return value;
}

/** The tabular method, apart from the code under test. */
function relationships(sire: Int32Array, dam: Int32Array): Float64Array[] {
  const rows: Float64Array[] = [];
  for (let i = 0; i < sire.length; i++) {
    rows[i] = new Float64Array(sire.length);
    for (let j = 0; j < i; j++) {
      rows[i][j] = sire[i] < 0 ? 0 : (rows[j][sire[i]] + rows[j][dam[i]]) / 2;
      rows[j][i] = rows[i][j];
    }
    rows[i][i] = 1 + (sire[i] < 0 ? 0 : rows[sire[i]][dam[i]] / 2);
  }
  return rows;
}

/** Records on the trait and the model that made them. */
export function flockInput(flock: SimulatedFlock, plan: FlockPlan, random: Random): AnimalModelInput {
  const size = flock.value.length;
  const { permanent, pen, residual } = plan.variances;
  const own = Float64Array.from({ length: size }, () => Math.sqrt(permanent) * random.normal());
  const place = Float64Array.from({ length: plan.pens }, () => Math.sqrt(pen) * random.normal());
  const y = Float64Array.from(
    flock.animal,
    (a, r) =>
      5 +
      0.5 * flock.male[a] +
      flock.value[a] +
      own[a] +
      place[flock.pen[r]] +
      Math.sqrt(residual) * random.normal(),
  );
  return {
    y,
    fixed: [new Float64Array(y.length).fill(1), Float64Array.from(flock.animal, (a) => flock.male[a])],
    pedigree: flock.pedigree,
    animal: indexDesign(flock.animal, size),
    ...(plan.lines > 1 ? { groups: linesAsGroups(flock.line, plan.lines) } : {}),
    others: [
      ...(permanent > 0 ? [{ name: "permanent", design: indexDesign(flock.animal, size) }] : []),
      { name: "pen", design: indexDesign(flock.pen, plan.pens) },
    ],
  };
}

/** Yes-or-no scores on the same flock: the value is a liability around a prevalence of about a fifth. */
export function flockScores(
  flock: SimulatedFlock,
  plan: FlockPlan,
  random: Random,
): LogisticAnimalModelInput {
  const place = Float64Array.from(
    { length: plan.pens },
    () => Math.sqrt(plan.variances.pen) * random.normal(),
  );
  const successes = Float64Array.from(flock.animal, (a, r) =>
    Number(random.bernoulli(1 / (1 + Math.exp(1.5 - flock.value[a] - place[flock.pen[r]])))),
  );
  return {
    successes,
    fixed: [new Float64Array(successes.length).fill(1)],
    pedigree: flock.pedigree,
    animal: indexDesign(flock.animal, flock.value.length),
    ...(plan.lines > 1 ? { groups: linesAsGroups(flock.line, plan.lines) } : {}),
    others: [{ name: "pen", design: indexDesign(flock.pen, plan.pens) }],
  };
}
