import type { Book, Columns } from "../../book/book.ts";
import type { FixedColumns, MultipleMembership } from "../../statistics/mixed-model-terms.ts";
import { type ExposureId, exposureIds, exposures } from "./exposures.ts";
import type { MonthLevel, OutcomeRows, PenLevel, PenMonthLevel } from "./outcome-rows.ts";

/** Levels of an age band or class seen in fewer rows' worth of days than this join the commonest. Project defaults. */
const LEAST_SHARE = 0.03;
const LEAST_ANIMALS = 3;
/** Span of records, in days, from which a yearly wave can be told. Project default. */
const LEAST_DAYS_OF_WAVE = 270;
const DAYS_A_YEAR = 365.25;

/** What a reader of an outcome knows of its rows before exposures. Days are day numbers, `to` no longer counts. */
export interface RowHeads {
  readonly count: number;
  readonly flock: readonly string[];
  readonly animal: readonly string[];
  readonly from: ArrayLike<number>;
  readonly to: ArrayLike<number>;
  readonly outcome: Float64Array;
  readonly offset: Float64Array | null;
  readonly readingVariance: Float64Array | null;
  /** Names how the outcome was measured (scale, basis): a difference between them is adjusted for. */
  readonly measuredBy: readonly string[];
}

type LaidOut = Omit<OutcomeRows, "exposed" | "control" | "otherLags">;

/**
 * Lays rows out by the pieces of their days: `pieces` has the columns row_no, pen, month (day number of its first
 * day), age_band, class and days, ascending by row_no, and every row at least one piece with a known pen.
 */
export async function layOutRows(book: Book, heads: RowHeads, pieces: Columns): Promise<LaidOut> {
  const flocks = levelsOf(heads.flock);
  const animals = levelsOf(heads.flock.map((flock, i) => `${flock}\n${heads.animal[i]}`));
  const row = pieces.number("row_no");
  const days = pieces.number("days");
  const flockOfPiece = Array.from(row, (i) => heads.flock[i]!);
  const penText = pieces.text("pen");
  const pens = levelsOf(penText.map((pen, k) => `${flockOfPiece[k]}\n${pen}`));
  const monthDay = pieces.number("month");
  const months = levelsOf(flockOfPiece.map((flock, k) => `${flock}\n${monthDay[k]}`));
  const penMonths = levelsOf(penText.map((_, k) => `${pens.of[k]}\n${months.of[k]}`));
  const lastPen = new Int32Array(heads.count).fill(-1);
  for (let k = 0; k < row.length; k++) lastPen[row[k]!] = pens.of[k]!;
  const usual = await usualOfPens(book);
  const share = sharesOf(heads.count, row, days);
  return {
    count: heads.count,
    outcome: heads.outcome,
    offset: heads.offset,
    readingVariance: heads.readingVariance,
    flock: flocks.of,
    flocks: flocks.levels,
    animal: animals.of,
    animals: animals.levels.length,
    pen: lastPen,
    pens: pens.levels.map((key): PenLevel => {
      const [flock = "", pen = ""] = key.split("\n");
      return { flock: flocks.levels.indexOf(flock), pen, usual: usual.get(key) ?? unknown };
    }),
    penShare: membership(heads.count, row, pens.of, share),
    penMonth: membership(heads.count, row, penMonths.of, share),
    penMonths: penMonths.levels.map((key): PenMonthLevel => {
      const [pen, month] = key.split("\n").map(Number);
      return { pen: pen!, month: month! };
    }),
    month: membership(heads.count, row, months.of, share),
    months: months.levels.map((key): MonthLevel => {
      const [flock = "", day] = key.split("\n");
      return { flock: flocks.levels.indexOf(flock), day: Number(day) };
    }),
    covariates: covariatesOf(heads, animals.of, row, share, pieces),
  };
}

const unknown = Object.fromEntries(exposureIds.map((id) => [id, Number.NaN])) as Record<ExposureId, number>;

/** Usual value of every exposure of every pen, under `flock\npen`. */
async function usualOfPens(book: Book): Promise<Map<string, Record<ExposureId, number>>> {
  const table = await book.columns(
    `SELECT flock, pen, ${exposureIds.map((id) => `CAST(avg(${exposures[id].column}) AS DOUBLE) AS ${id}`).join(", ")}
     FROM exposure.pen_day GROUP BY flock, pen ORDER BY flock, pen`,
  );
  const flock = table.text("flock");
  const pen = table.text("pen");
  return new Map(
    flock.map((one, k) => [
      `${one}\n${pen[k]}`,
      Object.fromEntries(exposureIds.map((id) => [id, table.number(id)[k]!])) as Record<ExposureId, number>,
    ]),
  );
}

function covariatesOf(
  heads: RowHeads,
  animal: Int32Array,
  row: Float64Array,
  share: Float64Array,
  pieces: Columns,
): FixedColumns {
  const columns: { name: string; column: Float64Array }[] = [];
  const indicators = (
    kind: string,
    rows: ArrayLike<number>,
    levels: readonly (string | null)[],
    weight: Float64Array,
  ): void => {
    const { levels: names, of } = levelsOf(levels.map((level) => level ?? "unknown"));
    const seen = names.map(() => ({ share: 0, animals: new Set<number>() }));
    of.forEach((level, k) => {
      seen[level]!.share += weight[k]!;
      seen[level]!.animals.add(animal[rows[k]!]!);
    });
    const commonest = seen.reduce((best, level, k) => (level.share > seen[best]!.share ? k : best), 0);
    names.forEach((name, level) => {
      const { share: days, animals } = seen[level]!;
      if (level === commonest || days < LEAST_SHARE * heads.count || animals.size < LEAST_ANIMALS) return;
      const column = new Float64Array(heads.count);
      of.forEach((one, k) => {
        if (one === level) column[rows[k]!]! += weight[k]!;
      });
      columns.push({ name: `${kind}:${name}`, column });
    });
  };
  indicators("age_band", row, pieces.text("age_band"), share);
  indicators("class", row, pieces.text("class"), share);
  const every = Int32Array.from({ length: heads.count }, (_, i) => i);
  indicators("measured", every, heads.measuredBy, new Float64Array(heads.count).fill(1));
  columns.push(...waves(heads));
  return { names: columns.map(({ name }) => name), columns: columns.map(({ column }) => column) };
}

/** Mean of a yearly cosine and sine over each row's days. */
function waves({ count, from, to }: RowHeads): { name: string; column: Float64Array }[] {
  let first = Infinity;
  let last = -Infinity;
  for (let i = 0; i < count; i++) {
    first = Math.min(first, from[i]!);
    last = Math.max(last, to[i]!);
  }
  if (last - first < LEAST_DAYS_OF_WAVE) return [];
  const turn = (2 * Math.PI) / DAYS_A_YEAR;
  const mean = (integral: (angle: number) => number): Float64Array =>
    Float64Array.from({ length: count }, (_, i) => {
      const [a, b] = [from[i]! * turn, to[i]! * turn];
      return (integral(b) - integral(a)) / (b - a);
    });
  return [
    { name: "season:cosine", column: mean(Math.sin) },
    { name: "season:sine", column: mean((angle) => -Math.cos(angle)) },
  ];
}

function sharesOf(count: number, row: Float64Array, days: Float64Array): Float64Array {
  const all = new Float64Array(count);
  row.forEach((i, k) => {
    all[i]! += days[k]!;
  });
  return days.map((d, k) => d / all[row[k]!]!);
}

/** Pieces by row as memberships; a level that stands twice in a row adds up. */
function membership(
  count: number,
  row: Float64Array,
  level: Int32Array,
  share: Float64Array,
): MultipleMembership {
  const rowStart = new Int32Array(count + 1);
  const levels: number[] = [];
  const weights: number[] = [];
  let k = 0;
  for (let i = 0; i < count; i++) {
    const start = levels.length;
    for (; k < row.length && row[k] === i; k++) {
      const known = levels.indexOf(level[k]!, start);
      if (known >= 0) weights[known]! += share[k]!;
      else {
        levels.push(level[k]!);
        weights.push(share[k]!);
      }
    }
    rowStart[i + 1] = levels.length;
  }
  return { rowStart, level: Int32Array.from(levels), weight: Float64Array.from(weights) };
}

/** Levels in the order of first appearance, and each cell's place among them. */
function levelsOf(cells: readonly string[]): { readonly levels: readonly string[]; readonly of: Int32Array } {
  const place = new Map<string, number>();
  const of = Int32Array.from(cells, (cell) => {
    const known = place.get(cell) ?? place.size;
    place.set(cell, known);
    return known;
  });
  return { levels: [...place.keys()], of };
}
