import type { FixedColumns, MultipleMembership } from "../../statistics/mixed-model-terms.ts";
import type { ExposureId } from "./exposures.ts";

/** An exposure on the rows of an outcome; NaN where not known. `within` is the mean less the between part. */
export interface ExposedColumn {
  readonly mean: Float64Array;
  readonly within: Float64Array;
}

/** The weeks before and after a row's day, both of the pen of that day, less the pen's usual value. */
export interface ControlColumns {
  readonly before: Float64Array;
  readonly after: Float64Array;
}

export interface PenLevel {
  readonly flock: number;
  readonly pen: string;
  /** Usual value of each exposure in the pen, over the pen's own days; NaN where never known. */
  readonly usual: Readonly<Record<ExposureId, number>>;
}

export interface PenMonthLevel {
  readonly pen: number;
  readonly month: number;
}

/** A calendar month of one flock: shocks of one place are not those of another. */
export interface MonthLevel {
  readonly flock: number;
  /** Day number of its first day. */
  readonly day: number;
}

/**
 * Rows of an outcome with everything that a model of it reads: growth of an animal's interval (mm per 30 days, mean of
 * its claws), a gait score (lame or not), or a pair of scores (newly lame or not, `offset` the log of the months
 * between). Rows load on pens, months and pen-months by the share of their days there, shares of a row adding to one.
 */
export interface OutcomeRows {
  readonly count: number;
  readonly outcome: Float64Array;
  readonly offset: Float64Array | null;
  /** Variance that reading a ruler gives an outcome; null where nothing is read. */
  readonly readingVariance: Float64Array | null;
  readonly flock: Int32Array;
  readonly flocks: readonly string[];
  readonly animal: Int32Array;
  readonly animals: number;
  /** The pen of the row's last day. */
  readonly pen: Int32Array;
  readonly pens: readonly PenLevel[];
  readonly penShare: MultipleMembership;
  readonly penMonth: MultipleMembership;
  readonly penMonths: readonly PenMonthLevel[];
  readonly month: MultipleMembership;
  readonly months: readonly MonthLevel[];
  /** Indicators and waves to adjust for; every row has a value. */
  readonly covariates: FixedColumns;
  readonly exposed: Readonly<Record<ExposureId, ExposedColumn>>;
  readonly control: Readonly<Record<ExposureId, ControlColumns>>;
  /** Other windows than the main one, by days before the score; none for growth. */
  readonly otherLags: ReadonlyMap<number, Readonly<Record<ExposureId, ExposedColumn>>>;
}

/** The rows at the given places, in that order; levels that none of them touches are left out. */
export function selectRows(rows: OutcomeRows, at: Int32Array): OutcomeRows {
  const pick = (values: Float64Array): Float64Array => Float64Array.from(at, (i) => values[i]!);
  const exposed = (all: OutcomeRows["exposed"]): OutcomeRows["exposed"] =>
    mapExposures(all, ({ mean, within }) => ({ mean: pick(mean), within: pick(within) }));
  const flocks = compacted(
    Int32Array.from(at, (i) => rows.flock[i]!),
    rows.flocks.length,
  );
  const animals = compacted(
    Int32Array.from(at, (i) => rows.animal[i]!),
    rows.animals,
  );
  const penShare = pickMembership(rows.penShare, at);
  const penMonth = pickMembership(rows.penMonth, at);
  const month = pickMembership(rows.month, at);
  const penOfRow = Int32Array.from(at, (i) => rows.pen[i]!);
  const pens = compacted(Int32Array.from([...penShare.level, ...penOfRow]), rows.pens.length);
  const months = compacted(month.level, rows.months.length);
  const penMonths = compacted(penMonth.level, rows.penMonths.length);
  return {
    count: at.length,
    outcome: pick(rows.outcome),
    offset: rows.offset === null ? null : pick(rows.offset),
    readingVariance: rows.readingVariance === null ? null : pick(rows.readingVariance),
    flock: flocks.of,
    flocks: flocks.kept.map((k) => rows.flocks[k]!),
    animal: animals.of,
    animals: animals.kept.length,
    pen: penOfRow.map((k) => pens.place[k]!),
    pens: pens.kept.map((k) => ({ ...rows.pens[k]!, flock: flocks.place[rows.pens[k]!.flock]! })),
    penShare: { ...penShare, level: penShare.level.map((k) => pens.place[k]!) },
    penMonth: { ...penMonth, level: penMonths.of },
    penMonths: penMonths.kept.map((k) => {
      const { pen, month: of } = rows.penMonths[k]!;
      return { pen: pens.place[pen]!, month: months.place[of]! };
    }),
    month: { ...month, level: months.of },
    months: months.kept.map((k) => ({ ...rows.months[k]!, flock: flocks.place[rows.months[k]!.flock]! })),
    covariates: { names: rows.covariates.names, columns: rows.covariates.columns.map(pick) },
    exposed: exposed(rows.exposed),
    control: mapExposures(rows.control, ({ before, after }) => ({
      before: pick(before),
      after: pick(after),
    })),
    otherLags: new Map([...rows.otherLags].map(([lag, all]) => [lag, exposed(all)])),
  };
}

/** One value for every exposure. */
export function mapExposures<A, B>(
  all: Readonly<Record<ExposureId, A>>,
  of: (value: A, id: ExposureId) => B,
): Readonly<Record<ExposureId, B>> {
  return Object.fromEntries(
    Object.entries(all).map(([id, value]) => [id, of(value, id as ExposureId)]),
  ) as Readonly<Record<ExposureId, B>>;
}

/** Levels that occur, in their order; each entry's new place; and the new place of every old level (−1: gone). */
function compacted(
  levels: Int32Array,
  count: number,
): { readonly of: Int32Array; readonly kept: readonly number[]; readonly place: Int32Array } {
  const seen = new Uint8Array(count);
  for (const level of levels) seen[level] = 1;
  const place = new Int32Array(count).fill(-1);
  const kept: number[] = [];
  for (let k = 0; k < count; k++) if (seen[k] === 1) place[k] = kept.push(k) - 1;
  return { of: levels.map((k) => place[k]!), kept, place };
}

function pickMembership(of: MultipleMembership, at: Int32Array): MultipleMembership {
  const rowStart = new Int32Array(at.length + 1);
  at.forEach((i, k) => {
    rowStart[k + 1] = rowStart[k]! + of.rowStart[i + 1]! - of.rowStart[i]!;
  });
  const level = new Int32Array(rowStart[at.length]!);
  const weight = new Float64Array(level.length);
  at.forEach((i, k) => {
    level.set(of.level.subarray(of.rowStart[i]!, of.rowStart[i + 1]!), rowStart[k]!);
    weight.set(of.weight.subarray(of.rowStart[i]!, of.rowStart[i + 1]!), rowStart[k]!);
  });
  return { rowStart, level, weight };
}
