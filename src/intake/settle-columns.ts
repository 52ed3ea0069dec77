import { code } from "../records/codes.ts";
import type { Column } from "../records/kind.ts";
import type { Settings } from "../records/settings.ts";
import type { TextTable } from "../sheets/text-table.ts";
import { addDayEvidence, type DayEvidence, halfConverted, noEvidence, settleDayOrder } from "./day-order.ts";
import { addMarkEvidence, noMarkEvidence, settleDecimalMark } from "./decimal-mark.ts";
import { unitNamed } from "./header-unit.ts";
import type { DayOrder } from "./read-day.ts";
import type { DecimalMark } from "./read-number.ts";
import type { ColumnUnderstanding } from "./reading.ts";
import { mayBeUnit, type UnitEvidence, unitBySize, unitEvidence, unitOfSystem } from "./settle-unit.ts";

/** A column whose cells have to tell how they are to be read. */
export interface ColumnToSettle {
  readonly index: number;
  readonly header: string;
  readonly column: Column;
  /** The unit that the header names. */
  readonly unit: string | null;
  /** Whether a question about this column costs only its own cells, not the sheet. */
  readonly cellsAlone: boolean;
}

export interface SettledColumn {
  readonly unit: string | null;
  readonly unitFrom: ColumnUnderstanding["unitFrom"];
  readonly dayOrder: DayOrder | null;
  readonly decimalMark: DecimalMark | null;
}

/** A question about one column, with a cell that raises it. */
export interface ColumnQuestion {
  readonly reason: string;
  readonly column: string;
  readonly value: string | null;
}

/** Distinct texts of a column of the sample; `all` gives every one of the sheet, at the cost of reading it. */
export interface ColumnTexts {
  readonly sample: (index: number) => ReadonlySet<string>;
  readonly all: (indices: readonly number[], see: (index: number, text: string) => void) => void;
}

/**
 * Settles for each column in which order its days, with which mark its decimals and in which unit its
 * numbers stand: by its header, its cells, the settings, in that order, and a unit of length by the sheet's
 * titles and other columns too. What reads two ways is a question, never a guess.
 */
export function settleColumns(
  table: TextTable,
  columns: readonly ColumnToSettle[],
  texts: ColumnTexts,
  titles: readonly string[],
  settings: Settings,
): ReadonlyMap<number, SettledColumn> | ColumnQuestion {
  const orders = settleDays(columns, texts, settings);
  if ("reason" in orders) return orders;
  const marks = settleMarks(table, columns, texts);
  if ("reason" in marks) return marks;
  const units = settleUnits(columns, texts, marks, titles, settings);
  if ("reason" in units) return units;
  return new Map(
    columns.map(({ index }) => [
      index,
      {
        unit: units.get(index)?.unit ?? null,
        unitFrom: units.get(index)?.unitFrom ?? null,
        dayOrder: orders.get(index) ?? null,
        decimalMark: marks.get(index) ?? null,
      },
    ]),
  );
}

function settleDays(
  columns: readonly ColumnToSettle[],
  texts: ColumnTexts,
  settings: Settings,
): ReadonlyMap<number, DayOrder | null> | ColumnQuestion {
  const days = columns.filter(({ column }) => column.type === "day" || column.type === "born");
  const evidence = new Map<number, DayEvidence>(days.map(({ index }) => [index, noEvidence()]));
  for (const [index, seen] of evidence) for (const text of texts.sample(index)) addDayEvidence(seen, text);
  // a column written in numbers alone may contradict itself further down
  const open = [...evidence].filter(
    ([, seen]) => seen.plain === 0 || seen.dayFirst + seen.monthFirst + seen.bothWays > 0,
  );
  texts.all(
    open.map(([index]) => index),
    (index, text) => addDayEvidence(evidence.get(index)!, text),
  );
  const orders = new Map<number, DayOrder | null>();
  for (const { index, header } of days) {
    if (halfConverted(evidence.get(index)!)) {
      return {
        reason: code("dates_half_converted"),
        column: header,
        value: [...texts.sample(index)][0] ?? null,
      };
    }
    const settled = settleDayOrder(evidence.get(index)!, settings.day_first ?? null);
    if ("question" in settled) {
      return { reason: code("date_reads_both_ways"), column: header, value: settled.question };
    }
    orders.set(index, settled.order);
  }
  return orders;
}

function settleMarks(
  table: TextTable,
  columns: readonly ColumnToSettle[],
  texts: ColumnTexts,
): ReadonlyMap<number, DecimalMark | null> | ColumnQuestion {
  const numbers = columns.filter(({ column }) => ["number", "integer", "age"].includes(column.type));
  const evidence = numbers.map(({ index }) => {
    const seen = noMarkEvidence();
    for (const text of texts.sample(index)) addMarkEvidence(seen, text);
    return seen;
  });
  const plain = new Set(
    evidence
      .map((seen) => settleDecimalMark(seen, null))
      .map((settled, i) =>
        "mark" in settled && evidence[i]!.points + evidence[i]!.commas > 0 ? settled.mark : null,
      )
      .filter((mark) => mark !== null),
  );
  // semicolons part the cells where the comma is the decimal mark
  const others =
    plain.size === 1 ? [...plain][0]! : plain.size === 0 && table.format === "semicolon" ? "," : null;
  const marks = new Map<number, DecimalMark | null>();
  for (const [i, { index, header }] of numbers.entries()) {
    const settled = settleDecimalMark(evidence[i]!, others);
    if ("question" in settled) {
      return { reason: code("number_reads_both_ways"), column: header, value: settled.question };
    }
    marks.set(index, settled.mark);
  }
  return marks;
}

interface SettledUnit {
  readonly unit: string;
  readonly unitFrom: ColumnUnderstanding["unitFrom"];
}

function settleUnits(
  columns: readonly ColumnToSettle[],
  texts: ColumnTexts,
  marks: ReadonlyMap<number, DecimalMark | null>,
  titles: readonly string[],
  settings: Settings,
): ReadonlyMap<number, SettledUnit> | ColumnQuestion {
  const units = new Map<number, SettledUnit>();
  const open: { readonly of: ColumnToSettle; readonly evidence: UnitEvidence }[] = [];
  for (const of of columns) {
    const { quantity, type } = of.column;
    if (of.unit !== null) {
      units.set(of.index, { unit: of.unit, unitFrom: "header" });
    } else if (quantity !== undefined && type === "number") {
      // columns that measure the same in several places stand or fall together
      const alike = columns.filter((one) => one.unit === null && one.column.name === of.column.name);
      const evidence = unitEvidence(
        of.column,
        alike.flatMap((one) => [...texts.sample(one.index)]),
        marks.get(of.index) ?? null,
      );
      const settled = ofOneColumn(of.column, evidence, settings);
      if (settled !== null) units.set(of.index, settled);
      else if (evidence.bare.some((value) => value !== 0)) open.push({ of, evidence });
    }
  }
  const shared = sharedLengthUnit(columns, units, titles);
  for (const { of, evidence } of open) {
    if (of.column.quantity === "length" && shared !== null && mayBeUnit(of.column, evidence, shared.unit)) {
      units.set(of.index, shared);
    } else if (!of.cellsAlone) {
      const value = [...texts.sample(of.index)][0] ?? null;
      return { reason: code("unit_not_named"), column: of.header, value };
    }
  }
  return units;
}

function ofOneColumn(column: Column, evidence: UnitEvidence, settings: Settings): SettledUnit | null {
  const [only, ...more] = evidence.named;
  if (only !== undefined && more.length === 0) return { unit: only, unitFrom: "cells" };
  const own = settings.units === undefined ? null : unitOfSystem[column.quantity!][settings.units];
  const bySize = unitBySize(column, evidence);
  // what the settings say yields only to numbers that cannot be it
  if (own !== null && (bySize === null || mayBeUnit(column, evidence, own))) {
    return { unit: own, unitFrom: "settings" };
  }
  return bySize === null ? null : { unit: bySize, unitFrom: "size" };
}

/** The one unit of length that a sheet's titles or its other columns name. */
function sharedLengthUnit(
  columns: readonly ColumnToSettle[],
  units: ReadonlyMap<number, SettledUnit>,
  titles: readonly string[],
): SettledUnit | null {
  const named = new Set<string>();
  for (const title of titles) {
    for (const match of title.matchAll(/\b(mm|millimet(?:er|re)s?|cm|inch(?:es)?|milímetros|pulgadas)\b/gi)) {
      const unit = unitNamed("length", match[1]!);
      if (unit !== null) named.add(unit);
    }
  }
  if (named.size === 1) return { unit: [...named][0]!, unitFrom: "header" };
  const settled = columns.filter(({ column, index }) => column.quantity === "length" && units.has(index));
  const first = settled[0] === undefined ? null : units.get(settled[0].index)!;
  return settled.every(({ index }) => units.get(index)!.unit === first?.unit) ? first : null;
}
