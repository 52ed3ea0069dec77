import type { AnimalWeights } from "./breeding-value-scale.ts";
import type { GeneticDesign } from "./genetic-frame.ts";
import { type Inbreeding, inbreeding } from "./inbreeding.ts";
import { type Pedigree, pedigree } from "./pedigree.ts";
import type { CandidateSire } from "./pedigree-input.ts";
import type { SparseDesign } from "./sparse-design.ts";

/** A genetic model's records at known variances: all that the errors of its predictions depend on. */
export interface RecordedDesign {
  readonly design: GeneticDesign;
  /** Weight of each record: its inverse variance in units of the residual variance. */
  readonly weights: ArrayLike<number>;
  /** Each term's standard deviation over the residual one, in the order animal, group (where there are), others. */
  readonly ratios: ArrayLike<number>;
}

/** Records widened by some that are not there, and the sums asked of them. */
export interface WiderRecords {
  readonly of: RecordedDesign;
  readonly kin: Inbreeding;
  /** What a sum over the animals there becomes with the new ones among them. */
  readonly sum: (sum: AnimalWeights) => AnimalWeights;
}

/** What becomes of the other terms, by name, as records are added; those not named keep their levels. */
export interface TermsOfRecords {
  /** One level an animal. */
  readonly ofAnimal: readonly string[];
  /** Places that an animal goes back to. */
  readonly place: string;
  /** Levels that a further visit meets anew, all animals alike or each place its own. */
  readonly ofVisit: readonly string[];
  readonly ofVisitAndPlace: readonly string[];
}

/**
 * The records if every animal of `recorded` had `times` more goats like it beside it: of the same parents, as
 * often recorded, in the same places on the same days. The sums then are over old and new goats alike. Each animal
 * gets one stand-in for its new goats, whose own parts vary by 1/times as those of their mean do.
 */
export function withMoreAnimals(
  of: RecordedDesign,
  recorded: readonly number[],
  times: number,
  terms: TermsOfRecords,
): WiderRecords {
  const { design, weights } = of;
  const size = design.pedigree.size;
  const standIn = new Int32Array(size).fill(-1);
  recorded.forEach((animal, k) => {
    standIn[animal] = size + k;
  });
  const template = [...Array(size).keys(), ...recorded];
  const rows = rowsOfAnimals(design.animal);
  const copied = Int32Array.from(rows.keys()).filter((row) => standIn[rows[row]] >= 0);
  const kin = inbreeding(design.pedigree);
  const root = Math.sqrt(times);
  const wider: GeneticDesign = {
    fixed: design.fixed.map((column) => withCopies(column, copied, 1)),
    pedigree: withTwins(design.pedigree, recorded),
    animal: extended(design.animal, copied, size + recorded.length, (column) => standIn[column], 1),
    ...(design.groups === undefined
      ? {}
      : {
          groups: {
            count: design.groups.count,
            ofUnknownSire: withCopies(design.groups.ofUnknownSire, recorded, 1),
            ofUnknownDam: withCopies(design.groups.ofUnknownDam, recorded, 1),
          },
        }),
    others: (design.others ?? []).map(({ name, design: term }) => ({
      name,
      design: terms.ofAnimal.includes(name)
        ? extended(term, copied, 2 * term.columns, (column) => term.columns + column, 1 / root)
        : extended(term, copied, term.columns, (column) => column, 1),
    })),
  };
  const widerKin: Inbreeding = {
    coefficient: Float64Array.from(template, (i) => kin.coefficient[i]),
    mendelianVariance: Float64Array.from(
      template,
      (i, at) => kin.mendelianVariance[i] / (at < size ? 1 : times),
    ),
  };
  return {
    of: { ...of, design: wider, weights: withCopies(weights, copied, times) },
    kin: widerKin,
    sum: ({ animals, weights: shares }) => ({
      animals: [...Array.from(animals), ...Array.from(animals, (i) => standIn[i])],
      weights: [1, times].flatMap((part) => Array.from(shares, (w) => (w * part) / (1 + times))),
    }),
  };
}

/**
 * The records after `times` more visits at which every animal of `recorded` is recorded once more, with its
 * usual weight, in the place of its last record. Records of one animal are as good as their mean, so that each animal
 * gets one, in which what a visit meets anew varies by 1/times.
 */
export function withMoreVisits(
  of: RecordedDesign,
  recorded: readonly number[],
  recordsOf: ArrayLike<number>,
  times: number,
  terms: TermsOfRecords,
): WiderRecords {
  const { design, weights } = of;
  const rows = rowsOfAnimals(design.animal);
  const last = new Int32Array(design.pedigree.size).fill(-1);
  const weightOf = new Float64Array(design.pedigree.size);
  rows.forEach((animal, row) => {
    last[animal] = row;
    weightOf[animal] += weights[row] / recordsOf[animal];
  });
  const copied = Int32Array.from(recorded, (animal) => last[animal]);
  const places = (design.others ?? []).find(({ name }) => name === terms.place)?.design;
  const placeOf = (row: number): number => (places === undefined ? 0 : Math.max(0, mainColumn(places, row)));
  const placeCount = places?.columns ?? 1;
  const rarer = 1 / Math.sqrt(times);
  const wider: GeneticDesign = {
    ...design,
    fixed: design.fixed.map((column) => withCopies(column, copied, 1)),
    animal: extended(design.animal, copied, design.animal.columns, (column) => column, 1),
    others: (design.others ?? []).map(({ name, design: term }) => ({
      name,
      design: terms.ofVisit.includes(name)
        ? extended(term, copied, term.columns + 1, () => term.columns, rarer)
        : terms.ofVisitAndPlace.includes(name)
          ? extended(term, copied, term.columns + placeCount, (_, row) => term.columns + placeOf(row), rarer)
          : extended(term, copied, term.columns, (column) => column, 1),
    })),
  };
  const more = Float64Array.from(recorded, (animal) => times * weightOf[animal]);
  return {
    of: { ...of, design: wider, weights: [...Array.from(weights), ...more] },
    kin: inbreeding(design.pedigree),
    sum: (sum) => sum,
  };
}

/** The animal of each record: the one it loads on. */
function rowsOfAnimals(animal: SparseDesign): Int32Array {
  return Int32Array.from({ length: animal.rows }, (_, row) => mainColumn(animal, row));
}

/** The column that a row loads on most; −1: none. */
function mainColumn({ rowStart, column, value }: SparseDesign, row: number): number {
  let best = -1;
  let most = 0;
  for (let e = rowStart[row]; e < rowStart[row + 1]; e++) {
    if (Math.abs(value[e]) <= most) continue;
    most = Math.abs(value[e]);
    best = column[e];
  }
  return best;
}

function withCopies(values: ArrayLike<number>, copied: ArrayLike<number>, times: number): Float64Array {
  const all = new Float64Array(values.length + copied.length);
  all.set(Array.from(values));
  for (let k = 0; k < copied.length; k++) all[values.length + k] = times * values[copied[k]];
  return all;
}

/** A design with some of its rows once more at the end, on other columns and with scaled loadings. */
function extended(
  design: SparseDesign,
  copied: ArrayLike<number>,
  columns: number,
  columnOf: (column: number, row: number) => number,
  scale: number,
): SparseDesign {
  const rowStart = Array.from(design.rowStart);
  const column = Array.from(design.column);
  const value = Array.from(design.value);
  for (let k = 0; k < copied.length; k++) {
    const row = copied[k];
    for (let e = design.rowStart[row]; e < design.rowStart[row + 1]; e++) {
      column.push(columnOf(design.column[e], row));
      value.push(scale * design.value[e]);
    }
    rowStart.push(column.length);
  }
  return {
    rows: design.rows + copied.length,
    columns,
    rowStart: Int32Array.from(rowStart),
    column: Int32Array.from(column),
    value: Float64Array.from(value),
  };
}

/** The pedigree with one full sib more for each animal named, at the end. */
function withTwins(of: Pedigree, animals: readonly number[]): Pedigree {
  const candidateSires = new Map<number, readonly CandidateSire[]>();
  const template = [...Array(of.size).keys(), ...animals];
  template.forEach((i, at) => {
    const own = Array.from({ length: of.sireStart[i + 1] - of.sireStart[i] }, (_, k) => ({
      sire: of.sire[of.sireStart[i] + k],
      probability: of.sireProbability[of.sireStart[i] + k],
    }));
    if (own.length > 0) candidateSires.set(at, own);
  });
  const checked = pedigree({
    sire: new Int32Array(template.length).fill(-1),
    dam: template.map((i) => of.dam[i]),
    candidateSires,
  });
  if (!checked.ok) throw new RangeError("the pedigree is not one");
  return checked.pedigree;
}
