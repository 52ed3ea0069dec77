import type { FixedColumns, MultipleMembership, RandomTerm } from "../statistics/mixed-model-terms.ts";
import type { GrowthRows, GrowthSpans, StretchFactor } from "./growth-rows.ts";

/** The random terms that the growth model may hold. */
export const growthTerms = [
  "animal",
  "claw",
  "interval",
  "pen",
  "pen_month",
  "month",
  "visit",
  "reading",
] as const;
export type GrowthTermId = (typeof growthTerms)[number];

/** Levels with less than this share of the flock's days join the reference level. Project default. */
const LEAST_SHARE_OF_DAYS = 0.03;
/** Animals in which a level must be seen to have an effect of its own. Project default. */
const LEAST_ANIMALS_OF_LEVEL = 3;
/** Calendar months from which a flock-wide month term stands in the model. */
const LEAST_MONTHS = 6;
/** Span of records, in days, from which a yearly wave can be told. Project default. */
const LEAST_DAYS_OF_WAVE = 270;
const LEAST_SHARED_READINGS = 10;
const DAYS_A_YEAR = 365.25;

/**
 * The growth model's data. Every column and loading is an integral over the days of the interval, in months of 30
 * days: a goat that moved counts in each pen for its days there.
 *
 *   growth = ∫ x(s)'β ds/30 + D (animal + claw + interval) + Σ days/30 (pen + pen-month + month) + r(end) − r(start)
 */
export interface GrowthDesign {
  readonly rows: GrowthRows;
  /** D: days / 30. */
  readonly months: Float64Array;
  /**
   * Reading errors that a row does not share with another, as weights: an interval that shares one of its two readings
   * keeps half of the residual variance.
   */
  readonly weights: Float64Array;
  readonly fixed: FixedColumns;
  /** Fixed columns that say how a length was measured, not how horn grows: no mean of growth loads on them. */
  readonly ofBasis: ReadonlySet<string>;
  /** Levels of each random term that the records can hold. */
  readonly random: Readonly<Partial<Record<GrowthTermId, RandomTerm>>>;
  /** Months spent in pens, as an animal-level table: position in `pens` and `calendarMonths` of each pen-month. */
  readonly penMonths: readonly { readonly pen: number; readonly month: number }[];
}

/** Lays the rows of a flock out as the design of its growth model, with the terms that its records can tell. */
export function growthDesign(rows: GrowthRows): GrowthDesign {
  const { spans, span } = rows;
  const months = Float64Array.from(span, (s) => spans.months[s]!);
  const unshared = new Int8Array(rows.count).fill(2);
  rows.sharedWith.forEach((before, i) => {
    if (before < 0) return;
    unshared[i]!--;
    unshared[before]!--;
  });
  const penMonths = penMonthLevels(spans);
  const seenPens = pensWithDays(spans);
  const basisColumns = columnsOfBasis(rows, months);
  const fixed = [
    { name: "mean", column: months },
    ...clawColumns(rows, months),
    ...factorColumns(rows, seenPens.length),
    ...waveColumns(rows),
    ...basisColumns,
  ];
  // Two pens leave nothing to tell a variance of pens by: their difference is a fixed effect.
  if (seenPens.length === 2)
    fixed.push({ name: `pen:${spans.pens[seenPens[1]!]}`, column: penColumn(rows, seenPens[1]!) });
  return {
    rows,
    months,
    // What two shared ends leave is not nothing: half of one reading's share keeps the weight finite.
    weights: Float64Array.from(unshared, (n) => 2 / Math.max(n, 0.5)),
    fixed: { names: fixed.map(({ name }) => name), columns: fixed.map(({ column }) => column) },
    ofBasis: new Set(basisColumns.map(({ name }) => name)),
    random: randomTerms(rows, months, penMonths, seenPens.length),
    penMonths,
  };
}

/** Angle of a day in its year, radians. */
export function yearAngle(day: number): number {
  return (2 * Math.PI * day) / DAYS_A_YEAR;
}

/** Integrals of the yearly wave's cosine and sine over some days, in months of 30 days. */
export function seasonWave(from: number, to: number): { readonly cosine: number; readonly sine: number } {
  const scale = DAYS_A_YEAR / (2 * Math.PI) / 30;
  return {
    cosine: (Math.sin(yearAngle(to)) - Math.sin(yearAngle(from))) * scale,
    sine: (Math.cos(yearAngle(from)) - Math.cos(yearAngle(to))) * scale,
  };
}

interface Column {
  readonly name: string;
  readonly column: Float64Array;
}

function clawColumns(rows: GrowthRows, months: Float64Array): Column[] {
  const { claws, claw } = rows;
  const hind = rows.claws.map(({ foot }) => (foot === "" ? null : foot.endsWith("H")));
  const outer = claws.map((one) => (one.claw === "" ? null : one.claw === "outer"));
  const contrast = (name: string, of: readonly (boolean | null)[]): Column[] => {
    const both = of.includes(true) && of.includes(false);
    return both ? [{ name, column: months.map((d, i) => (of[claw[i]!] === true ? d : 0)) }] : [];
  };
  return [...contrast("hind", hind), ...contrast("outer", outer)];
}

/** Pens beyond the kinds of ground from which ground can be told from its pens. Project default. */
const LEAST_PENS_BEYOND_GROUNDS = 3;

/** Months spent in each level of ground, age band and class but the commonest; rare levels join that one. */
function factorColumns(rows: GrowthRows, pens: number): Column[] {
  const { spans } = rows;
  const columns: Column[] = [];
  for (const factor of ["ground", "age_band", "class"] as const) {
    const seen = daysByLevel(spans, factor);
    const all = seen.reduce((sum, level) => sum + level.months, 0);
    const levels = seen.filter(({ months }) => months > 0).length;
    if (factor === "ground" && pens < levels + LEAST_PENS_BEYOND_GROUNDS) continue;
    const reference = seen.reduce((best, level, k) => (level.months > seen[best]!.months ? k : best), 0);
    seen.forEach((level, k) => {
      if (k === reference || level.months < LEAST_SHARE_OF_DAYS * all) return;
      // Ground belongs to pens: animals of one pen on it are enough.
      if (factor !== "ground" && level.animals.size < LEAST_ANIMALS_OF_LEVEL) return;
      columns.push({ name: `${factor}:${spans.levels[factor][k]}`, column: levelColumn(rows, factor, k) });
    });
  }
  return columns;
}

function daysByLevel(spans: GrowthSpans, factor: StretchFactor): { months: number; animals: Set<number> }[] {
  const seen = spans.levels[factor].map(() => ({ months: 0, animals: new Set<number>() }));
  eachPiece(spans, (s, k) => {
    const level = seen[spans.pieceLevel[factor][k]!];
    if (level === undefined) return;
    level.months += spans.pieceMonths[k]!;
    level.animals.add(spans.animal[s]!);
  });
  return seen;
}

/** Months of each row's interval that were spent in one level of a factor. */
function levelColumn(rows: GrowthRows, factor: StretchFactor, level: number): Float64Array {
  const { spans } = rows;
  const of = new Float64Array(spans.count);
  eachPiece(spans, (s, k) => {
    if (spans.pieceLevel[factor][k] === level) of[s]! += spans.pieceMonths[k]!;
  });
  return Float64Array.from(rows.span, (s) => of[s]!);
}

function penColumn(rows: GrowthRows, pen: number): Float64Array {
  const { spans } = rows;
  const of = new Float64Array(spans.count);
  eachPiece(spans, (s, k) => {
    if (spans.piecePen[k] === pen) of[s]! += spans.pieceMonths[k]!;
  });
  return Float64Array.from(rows.span, (s) => of[s]!);
}

function waveColumns(rows: GrowthRows): Column[] {
  const { spans, span } = rows;
  const first = spans.from.reduce((least, day) => Math.min(least, day), Infinity);
  const last = spans.to.reduce((most, day) => Math.max(most, day), -Infinity);
  if (last - first < LEAST_DAYS_OF_WAVE) return [];
  const waves =
    span.length === 0
      ? []
      : Array.from({ length: spans.count }, (_, s) => seasonWave(spans.from[s]!, spans.to[s]!));
  return [
    { name: "season_cosine", column: Float64Array.from(span, (s) => waves[s]!.cosine) },
    { name: "season_sine", column: Float64Array.from(span, (s) => waves[s]!.sine) },
  ];
}

/** What an interval measured in another way than most gains or loses by that. */
function columnsOfBasis(rows: GrowthRows, months: Float64Array): Column[] {
  const counts = new Map<string, number>();
  for (const basis of rows.basis) counts.set(basis, (counts.get(basis) ?? 0) + 1);
  // Growth net of wear is what the figures speak of, wherever any of it was measured.
  const main = ["toe", "overhang", "mark"].find((basis) => counts.has(basis));
  return [...counts.keys()]
    .filter((basis) => basis !== main)
    .sort()
    .map((basis) => ({
      name: `basis:${basis}`,
      column: months.map((d, i) => (rows.basis[i] === basis ? d : 0)),
    }));
}

function pensWithDays(spans: GrowthSpans): number[] {
  return [...new Set(spans.piecePen)].filter((pen) => pen >= 0).sort((a, b) => a - b);
}

function penMonthLevels(spans: GrowthSpans): { pen: number; month: number }[] {
  const count = spans.calendarMonths.length;
  const keys = new Set<number>();
  eachPiece(spans, (_, k) => {
    if (spans.piecePen[k]! >= 0) keys.add(spans.piecePen[k]! * count + spans.pieceMonth[k]!);
  });
  return [...keys].sort((a, b) => a - b).map((key) => ({ pen: Math.floor(key / count), month: key % count }));
}

function randomTerms(
  rows: GrowthRows,
  months: Float64Array,
  penMonths: readonly { pen: number; month: number }[],
  pens: number,
): Partial<Record<GrowthTermId, RandomTerm>> {
  const { spans, span } = rows;
  const terms: Partial<Record<GrowthTermId, RandomTerm>> = {};
  const animals = rows.animals.length;
  if (animals >= 2 && rows.count > 1.2 * animals) {
    terms.animal = { name: "animal", levels: animals, membership: rows.animal, effects: [months] };
  }
  const claws = rows.claws.length;
  if (claws >= 1.5 * animals && rows.count >= 1.5 * claws) {
    terms.claw = { name: "claw", levels: claws, membership: rows.claw, effects: [months] };
  }
  const steps = stepsBetweenVisits(spans);
  if (steps.count >= 1.5 * animals && rows.count >= 1.5 * steps.count) {
    terms.interval = { name: "interval", levels: steps.count, membership: ofRows(span, steps.membership) };
  }
  if (pens >= 3) {
    terms.pen = {
      name: "pen",
      levels: spans.pens.length,
      membership: ofRows(
        span,
        membershipOf(spans, (k) => spans.piecePen[k]!),
      ),
    };
  }
  const months_ = spans.calendarMonths.length;
  if (pens >= 2 && months_ >= 2 && penMonths.length <= 1.2 * spans.count) {
    const place = new Map(penMonths.map(({ pen, month }, level) => [pen * months_ + month, level]));
    terms.pen_month = {
      name: "pen_month",
      levels: penMonths.length,
      membership: ofRows(
        span,
        membershipOf(spans, (k) =>
          spans.piecePen[k]! < 0 ? -1 : place.get(spans.piecePen[k]! * months_ + spans.pieceMonth[k]!)!,
        ),
      ),
    };
  }
  if (months_ >= LEAST_MONTHS) {
    terms.month = {
      name: "month",
      levels: months_,
      membership: ofRows(
        span,
        membershipOf(spans, (k) => spans.pieceMonth[k]!),
      ),
    };
  }
  const visits = visitDays(spans);
  if (rows.count >= 2 * visits.count && visits.count >= 1.5 * animals) {
    terms.visit = { name: "visit", levels: visits.count, membership: ofRows(span, visits.membership) };
  }
  const shared = sharedReadings(rows);
  if (shared.levels >= LEAST_SHARED_READINGS) terms.reading = shared;
  return terms;
}

/** Days / 30 of each span on each level that its pieces name; pieces without a level (−1) load on nothing. */
function membershipOf(spans: GrowthSpans, levelOf: (piece: number) => number): MultipleMembership {
  const rowStart = new Int32Array(spans.count + 1);
  const level: number[] = [];
  const weight: number[] = [];
  for (let s = 0; s < spans.count; s++) {
    for (let k = spans.pieceStart[s]!; k < spans.pieceStart[s + 1]!; k++) {
      const at = levelOf(k);
      if (at < 0) continue;
      const known = level.indexOf(at, rowStart[s]!);
      if (known >= 0) weight[known]! += spans.pieceMonths[k]!;
      else {
        level.push(at);
        weight.push(spans.pieceMonths[k]!);
      }
    }
    rowStart[s + 1] = level.length;
  }
  return { rowStart, level: Int32Array.from(level), weight: Float64Array.from(weight) };
}

/** The time between two successive days on which an animal was measured; a span that passes over a visit loads on several. */
function stepsBetweenVisits(spans: GrowthSpans): { count: number; membership: MultipleMembership } {
  const rowStart = new Int32Array(spans.count + 1);
  const level: number[] = [];
  const weight: number[] = [];
  let count = 0;
  eachAnimal(spans, (first, end) => {
    const days = daysOf(spans, first, end);
    for (let s = first; s < end; s++) {
      for (let k = days.indexOf(spans.from[s]!); days[k]! < spans.to[s]!; k++) {
        level.push(count + k);
        weight.push((days[k + 1]! - days[k]!) / 30);
      }
      rowStart[s + 1] = level.length;
    }
    count += days.length - 1;
  });
  return {
    count,
    membership: { rowStart, level: Int32Array.from(level), weight: Float64Array.from(weight) },
  };
}

/** What all readings of an animal on one day share: added to the interval that ends there, taken off the next. */
function visitDays(spans: GrowthSpans): { count: number; membership: MultipleMembership } {
  const rowStart = Int32Array.from({ length: spans.count + 1 }, (_, s) => 2 * s);
  const level = new Int32Array(2 * spans.count);
  const weight = Float64Array.from(level, (_, k) => (k % 2 === 0 ? 1 : -1));
  let count = 0;
  eachAnimal(spans, (first, end) => {
    const days = daysOf(spans, first, end);
    for (let s = first; s < end; s++) {
      level[2 * s] = count + days.indexOf(spans.to[s]!);
      level[2 * s + 1] = count + days.indexOf(spans.from[s]!);
    }
    count += days.length;
  });
  return { count, membership: { rowStart, level, weight } };
}

/** Readings that end one interval of a claw (+1) and start its next (−1). */
function sharedReadings(rows: GrowthRows): RandomTerm {
  const ends = new Int32Array(rows.count).fill(-1);
  const starts = new Int32Array(rows.count).fill(-1);
  let levels = 0;
  rows.sharedWith.forEach((before, i) => {
    if (before < 0) return;
    ends[before] = levels;
    starts[i] = levels;
    levels++;
  });
  const rowStart = new Int32Array(rows.count + 1);
  const level: number[] = [];
  const weight: number[] = [];
  for (let i = 0; i < rows.count; i++) {
    if (ends[i]! >= 0) {
      level.push(ends[i]!);
      weight.push(1);
    }
    if (starts[i]! >= 0) {
      level.push(starts[i]!);
      weight.push(-1);
    }
    rowStart[i + 1] = level.length;
  }
  return {
    name: "reading",
    levels,
    membership: { rowStart, level: Int32Array.from(level), weight: Float64Array.from(weight) },
  };
}

/** The loadings of spans as loadings of their rows. */
function ofRows(span: Int32Array, of: MultipleMembership): MultipleMembership {
  const rowStart = new Int32Array(span.length + 1);
  span.forEach((s, i) => {
    rowStart[i + 1] = rowStart[i]! + of.rowStart[s + 1]! - of.rowStart[s]!;
  });
  const level = new Int32Array(rowStart[span.length]!);
  const weight = new Float64Array(level.length);
  span.forEach((s, i) => {
    level.set(of.level.subarray(of.rowStart[s]!, of.rowStart[s + 1]!), rowStart[i]!);
    weight.set(of.weight.subarray(of.rowStart[s]!, of.rowStart[s + 1]!), rowStart[i]!);
  });
  return { rowStart, level, weight };
}

function eachPiece(spans: GrowthSpans, visit: (span: number, piece: number) => void): void {
  for (let s = 0; s < spans.count; s++) {
    for (let k = spans.pieceStart[s]!; k < spans.pieceStart[s + 1]!; k++) visit(s, k);
  }
}

/** Spans of one animal stand together: calls back with the first and the one past the last. */
function eachAnimal(spans: GrowthSpans, visit: (first: number, end: number) => void): void {
  for (let first = 0; first < spans.count; ) {
    let end = first + 1;
    while (end < spans.count && spans.animal[end] === spans.animal[first]) end++;
    visit(first, end);
    first = end;
  }
}

/** Days on which an animal's spans start or end, ascending. */
function daysOf(spans: GrowthSpans, first: number, end: number): number[] {
  const days = new Set<number>();
  for (let s = first; s < end; s++) days.add(spans.from[s]!).add(spans.to[s]!);
  return [...days].sort((a, b) => a - b);
}
