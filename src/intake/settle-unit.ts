import type { Column } from "../records/kind.ts";
import { findUnit, type QuantityId, quantities, toKeptUnit } from "../records/units.ts";
import { unitNamed } from "./header-unit.ts";
import { type DecimalMark, readNumber } from "./read-number.ts";

/** What a column's cells show of the unit in which they stand. */
export interface UnitEvidence {
  /** Units that cells name themselves. */
  readonly named: ReadonlySet<string>;
  /** Bare numbers, fractions among them counted apart: rulers in inches are read in fractions. */
  readonly bare: readonly number[];
  readonly fractions: number;
}

export function unitEvidence(
  column: Column,
  texts: Iterable<string>,
  mark: DecimalMark | null,
): UnitEvidence {
  const named = new Set<string>();
  const bare: number[] = [];
  let fractions = 0;
  for (const text of texts) {
    const read = readNumber(text, mark);
    if ("trouble" in read) continue;
    const { value, unit, fraction } = read.value;
    const spelled = unit === "" || column.quantity === undefined ? null : unitNamed(column.quantity, unit);
    if (spelled !== null) named.add(spelled);
    else {
      bare.push(value);
      if (fraction) fractions++;
    }
  }
  return { named, bare, fractions };
}

/**
 * The unit that the size of bare numbers leaves possible: the only one of the quantity in which nearly all
 * of them lie where the column's values can; null when several fit, or none. Zero fits every unit and tells
 * nothing; fractions are inches.
 */
export function unitBySize(column: Column, evidence: UnitEvidence): string | null {
  const { quantity } = column;
  if (quantity === undefined) return null;
  if (quantity === "length" && evidence.fractions > 0) return "in";
  if (evidence.bare.every((value) => value === 0)) return null;
  const possible = spellingsOf(quantity).filter((spelling) => mayBeUnit(column, evidence, spelling));
  return possible.length === 1 ? possible[0]! : null;
}

/** Whether nearly all bare numbers, read in this unit, lie where the column's values do. */
export function mayBeUnit(column: Column, evidence: UnitEvidence, spelling: string): boolean {
  const range = usualRange[column.name] ?? column.bounds;
  const unit = column.quantity === undefined ? null : findUnit(column.quantity, spelling);
  if (range === undefined || unit === null) return false;
  const numbers = evidence.bare.filter((value) => value !== 0);
  const within = numbers.filter((value) => {
    const kept = toKeptUnit(value, unit);
    return kept >= range.least && kept <= range.most;
  });
  return within.length >= NEARLY_ALL * numbers.length;
}

/**
 * Where values of feeds and minerals lie in practice, in the kept unit: narrower than the bounds, wide
 * enough that a unit is only ruled out where it is absurd (project defaults).
 */
const usualRange: Readonly<Record<string, { readonly least: number; readonly most: number }>> = {
  crude_protein_pct_dm: { least: 3, most: 60 },
  sulphur_pct_dm: { least: 0.03, most: 1 },
  copper_mg_per_kg_dm: { least: 0.5, most: 500 },
  zinc_mg_per_kg_dm: { least: 2, most: 2000 },
  molybdenum_mg_per_kg_dm: { least: 0.02, most: 100 },
  copper_mg_per_kg: { least: 5, most: 200_000 },
  zinc_mg_per_kg: { least: 5, most: 300_000 },
  offered_g_per_head_day: { least: 1, most: 200 },
  refused_g_per_head_day: { least: 0.5, most: 200 },
  intake_kg_dm_per_head_day: { least: 0.1, most: 8 },
  kg_per_head_day: { least: 0.02, most: 15 },
  humidity_pct: { least: 1, most: 100 },
  rain_mm: { least: 0, most: 400 },
};

const NEARLY_ALL = 0.9;

/**
 * Units of everyday sheets by quantity, metric and inch-pound, for a flock that says which it writes in;
 * null where even that leaves several.
 */
export const unitOfSystem: Readonly<
  Record<QuantityId, { readonly mm: string | null; readonly in: string | null }>
> = {
  length: { mm: "mm", in: "in" },
  share: { mm: "%", in: "%" },
  traceMineral: { mm: "mg/kg", in: "mg/kg" },
  gramsPerDay: { mm: "g", in: "oz" },
  kilogramsPerDay: { mm: "kg", in: "lb" },
  temperature: { mm: "c", in: "f" },
  rain: { mm: "mm", in: "in" },
  wind: { mm: "m/s", in: "mph" },
  sunshineEnergy: { mm: "mj/m2", in: "mj/m2" },
  area: { mm: "m2", in: "ft2" },
  plainPercent: { mm: "%", in: "%" },
};

function spellingsOf(quantity: QuantityId): string[] {
  return quantities[quantity].units.map(({ spellings }) => spellings[0]);
}
