import { symmetricEigen } from "../../statistics/linear-algebra/symmetric-eigen.ts";
import { type ExposureId, exposureIds, exposures } from "./exposures.ts";
import type { OutcomeRows } from "./outcome-rows.ts";

/**
 * What one slope of an analysis is about: an exposure, or several that move together (their standardised mean).
 */
export interface Focus {
  /** The exposure's name, or the names of a bundle's members joined by `+`. */
  readonly id: string;
  readonly members: readonly { readonly id: ExposureId; readonly weight: number }[];
}

/** The focus's column from columns of the exposures: the weighted sum of its members'. */
export function focusColumn(
  { members }: Focus,
  columns: Readonly<Record<ExposureId, Float64Array>>,
): Float64Array {
  const [first, ...others] = members;
  const sum = columns[first!.id].map((value) => first!.weight * value);
  for (const { id, weight } of others) {
    const column = columns[id];
    for (let i = 0; i < sum.length; i++) sum[i]! += weight * column[i]!;
  }
  return sum;
}

/** Why an exposure is not asked about. */
export type NotAsked =
  | { readonly why: "missing" }
  | { readonly why: "too_little_contrast" }
  | { readonly why: "not_asked" }
  | { readonly why: "bundled"; readonly bundle: string };

export interface AskedFocuses {
  /** Asked together, in one model. */
  readonly joint: readonly Focus[];
  /** Known for fewer rows: each asked in a model of its own beside the joint ones. */
  readonly apart: readonly Focus[];
  readonly notAsked: ReadonlyMap<ExposureId, NotAsked>;
}

/** Share of rows on which an exposure must be known to stand in the joint model, and to be asked at all. Project defaults. */
const JOINT_SHARE = 0.8;
const LEAST_SHARE = 0.3;
/** Contrast for a claim: this many pens that vary, or this many pen-months off their pen's usual value in two pens. */
const LEAST_PENS = 5;
const LEAST_PEN_MONTHS = 12;
const LARGEST_VARIANCE_INFLATION = 5;

/** Chooses, from the exposures alone and before any fit, which associations are asked about. */
export function askedFocuses(rows: OutcomeRows): AskedFocuses {
  const notAsked = new Map<ExposureId, NotAsked>();
  const known: { id: ExposureId; share: number; cells: Float64Array }[] = [];
  for (const id of exposureIds) {
    const { within } = rows.exposed[id];
    const share = within.reduce((sum, value) => sum + (Number.isNaN(value) ? 0 : 1), 0) / rows.count;
    if (share < LEAST_SHARE) {
      notAsked.set(id, { why: "missing" });
      continue;
    }
    const cells = cellMeans(rows, within);
    const contrast = contrastOf(rows, cells, exposures[id].leastSpread);
    if (contrast !== "enough") {
      notAsked.set(id, { why: contrast });
      continue;
    }
    known.push({ id, share, cells: withoutMonths(rows, cells) });
  }
  const joint = bundled(
    known.filter(({ share }) => share >= JOINT_SHARE),
    notAsked,
  );
  const apart = known.filter(({ share }) => share < JOINT_SHARE).map(({ id }) => loneFocus(id));
  return { joint, apart, notAsked };
}

/** The focus of one exposure alone. */
export function loneFocus(id: ExposureId): Focus {
  return { id, members: [{ id, weight: 1 }] };
}

/** Mean of a column over the rows of each pen-month; NaN where none is known. */
function cellMeans(rows: OutcomeRows, column: Float64Array): Float64Array {
  const sum = new Float64Array(rows.penMonths.length);
  const mass = new Float64Array(rows.penMonths.length);
  const { rowStart, level, weight } = rows.penMonth;
  for (let i = 0; i < rows.count; i++) {
    if (Number.isNaN(column[i]!)) continue;
    for (let k = rowStart[i]!; k < rowStart[i + 1]!; k++) {
      sum[level[k]!]! += weight[k]! * column[i]!;
      mass[level[k]!]! += weight[k]!;
    }
  }
  return sum.map((value, k) => value / mass[k]!);
}

function contrastOf(
  rows: OutcomeRows,
  cells: Float64Array,
  leastSpread: number,
): "enough" | "not_asked" | "too_little_contrast" {
  const byPen = new Map<number, number[]>();
  cells.forEach((value, k) => {
    if (Number.isNaN(value)) return;
    const { pen } = rows.penMonths[k]!;
    const own = byPen.get(pen);
    if (own) own.push(value);
    else byPen.set(pen, [value]);
  });
  let varying = 0;
  let off = 0;
  for (const values of byPen.values()) {
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const spread = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
    if (spread < leastSpread) continue;
    varying++;
    off += values.filter((value) => Math.abs(value - mean) >= leastSpread).length;
  }
  if (varying === 0) return "too_little_contrast";
  return varying >= LEAST_PENS || (varying >= 2 && off >= LEAST_PEN_MONTHS) ? "enough" : "not_asked";
}

/** Pen-month means less those of the pen and of the month, by turns until they settle; 0 where not known. */
function withoutMonths(rows: OutcomeRows, cells: Float64Array): Float64Array {
  const left = cells.slice();
  for (let turn = 0; turn < 20; turn++) {
    for (const of of ["pen", "month"] as const) {
      const sums = new Map<number, { sum: number; count: number }>();
      left.forEach((value, k) => {
        if (Number.isNaN(value)) return;
        const at = rows.penMonths[k]![of];
        const entry = sums.get(at) ?? { sum: 0, count: 0 };
        entry.sum += value;
        entry.count++;
        sums.set(at, entry);
      });
      rows.penMonths.forEach((cell, k) => {
        const entry = sums.get(cell[of]);
        if (entry !== undefined) left[k]! -= entry.sum / entry.count;
      });
    }
  }
  return left.map((value) => (Number.isNaN(value) ? 0 : value));
}

/** Joins exposures whose variance inflation is too high with the one they go with most, until none is. */
function bundled(
  known: readonly { id: ExposureId; cells: Float64Array }[],
  notAsked: Map<ExposureId, NotAsked>,
): Focus[] {
  let groups = known.map(({ id, cells }) => ({ members: [{ id, sign: 1 }], cells: scaled(cells) }));
  for (;;) {
    const inflation = varianceInflation(groups.map(({ cells }) => cells));
    const worst = inflation.reduce((most, value, k) => (value > inflation[most]! ? k : most), 0);
    if (groups.length < 2 || !(inflation[worst]! > LARGEST_VARIANCE_INFLATION)) break;
    const partner = groups.reduce(
      (best, { cells }, k) =>
        k !== worst &&
        (best < 0 ||
          Math.abs(dot(cells, groups[worst]!.cells)) >
            Math.abs(dot(groups[best]!.cells, groups[worst]!.cells)))
          ? k
          : best,
      -1,
    );
    const first = groups[Math.min(worst, partner)]!;
    const second = groups[Math.max(worst, partner)]!;
    const sign = dot(first.cells, second.cells) < 0 ? -1 : 1;
    const merged = {
      members: [
        ...first.members,
        ...second.members.map((member) => ({ ...member, sign: sign * member.sign })),
      ],
      cells: scaled(first.cells.map((value, k) => value + sign * second.cells[k]!)),
    };
    groups = groups.filter((group) => group !== first && group !== second).concat(merged);
  }
  return groups.map(({ members }) => {
    if (members.length === 1) return loneFocus(members[0]!.id);
    const bundle = bundleOf(members, known);
    for (const { id } of members) notAsked.set(id, { why: "bundled", bundle: bundle.id });
    return bundle;
  });
}

function bundleOf(
  members: readonly { readonly id: ExposureId; readonly sign: number }[],
  known: readonly { id: ExposureId; cells: Float64Array }[],
): Focus {
  const spread = (id: ExposureId): number => {
    const { cells } = known.find((one) => one.id === id)!;
    return Math.sqrt(dot(cells, cells) / cells.length);
  };
  return {
    id: members.map(({ id, sign }) => (sign < 0 ? `less ${id}` : id)).join("+"),
    members: members.map(({ id, sign }) => ({ id, weight: sign / spread(id) / members.length })),
  };
}

function scaled(cells: Float64Array): Float64Array {
  const length = Math.sqrt(dot(cells, cells));
  return length > 0 ? cells.map((value) => value / length) : cells;
}

/** Diagonal of the inverse of the correlations of columns of unit length. */
function varianceInflation(columns: readonly Float64Array[]): number[] {
  const n = columns.length;
  const values = new Float64Array(n * n);
  columns.forEach((a, i) => {
    columns.forEach((b, j) => {
      values[i * n + j] = dot(a, b);
    });
  });
  const { values: roots, vectors } = symmetricEigen({ rows: n, columns: n, values });
  return columns.map((_, i) => {
    let sum = 0;
    for (let k = 0; k < n; k++) sum += vectors.values[i * n + k]! ** 2 / Math.max(roots[k]!, 1e-12);
    return sum;
  });
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < a.length; k++) sum += a[k]! * b[k]!;
  return sum;
}
