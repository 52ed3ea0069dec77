import { code } from "../records/codes.ts";
import type { DayNumber } from "../records/days.ts";
import type { Column } from "../records/kind.ts";
import { columnOf, type KindId, kindIds } from "../records/kinds.ts";
import type { TextTable } from "../sheets/text-table.ts";
import { animalOfSheet } from "./animal-of-sheet.ts";
import { answeredKind, fileStem } from "./answered-kind.ts";
import { isRefused } from "./cell-read.ts";
import type { KindHints } from "./choose-kind.ts";
import { dayOfSheet } from "./day-of-sheet.ts";
import { type FoundHeader, findHeader } from "./find-header.ts";
import { findGrid } from "./grid-layout.ts";
import { kindTraits } from "./kind-traits.ts";
import { lesionWords } from "./lesion-words.ts";
import { measureOfCells } from "./measure-of-cells.ts";
import { passingRows } from "./passing-rows.ts";
import { readClaw } from "./read-claw.ts";
import { readDay } from "./read-day.ts";
import { type HeaderMeaning, ownHeaderWords } from "./read-headers.ts";
import type { ColumnUnderstanding, NotUnderstood, TableUnderstanding } from "./reading.ts";
import {
  type ColumnTexts,
  type ColumnToSettle,
  type SettledColumn,
  settleColumns,
} from "./settle-columns.ts";
import { type SettledScale, settleScale } from "./settle-scale.ts";
import { distinctTexts, type NumberedRow, topRows } from "./sheet-top.ts";
import type { UnderstandContext } from "./understand-context.ts";
import { understandGrid } from "./understand-grid.ts";
import { unitOfPlace } from "./wide-header.ts";

export type { UnderstandContext } from "./understand-context.ts";

/** Rows from which a sheet is understood; only dates written in numbers alone are read to the end. */
const SAMPLE_ROWS = 2000;

/**
 * Understands one worksheet: where its header stands, of which kinds its records are (by its columns), how
 * it is laid out, and what each column means, in which unit, order of day and month, and decimal mark. What
 * reads two ways sets the sheet aside with the question that an answer in the settings would settle.
 */
export function understandTable(
  table: TextTable,
  context: UnderstandContext,
): TableUnderstanding | NotUnderstood {
  const rows = topRows(table, SAMPLE_ROWS);
  if (rows.length === 0)
    return notUnderstood({ reason: code("kind_not_recognised"), column: null, value: null });
  const answered = answeredKind(table, context.settings.kinds);
  const titlesAbove = (at: number): string[] => [
    ...(table.worksheet === null ? [] : [table.worksheet]),
    ...rows.slice(0, at).flatMap(({ cells }) => cells.filter((cell) => cell.trim() !== "")),
  ];
  // a line of more cells is a row of some table, whose dates are its own
  const titleLines = (at: number): string[] => [
    ...(table.worksheet === null ? [] : [table.worksheet]),
    ...rows.slice(0, at).flatMap(({ cells }) => {
      const filled = cells.filter((cell) => cell.trim() !== "");
      return filled.length <= 2 ? filled : [];
    }),
  ];
  const grid = findGrid(rows, context.knownAnimals, titlesAbove);
  if (grid !== null) {
    const understood = understandGrid(table, rows, grid, titlesAbove(grid.at), answered, context);
    return "reason" in understood ? notUnderstood(understood) : understood;
  }
  const own = ownHeaderWords(context.settings.columns);
  const animalAbove = (at: number): string | null => animalOfSheet(table, rows.slice(0, at), context);
  const found = findHeader(
    rows,
    own,
    (at): KindHints => ({
      answered,
      titles: titlesAbove(at),
      ofOneAnimal: animalAbove(at) !== null,
      ofOneDay: dayOfSheet(titleLines(at)) !== null,
    }),
  );
  if ("reason" in found) return notUnderstood({ ...found, value: null });
  const animal = found.kinds.lacksAnimal ? animalAbove(found.at) : null;
  if (found.kinds.lacksAnimal && animal === null) {
    const sheet = table.worksheet ?? fileStem(table.file);
    return notUnderstood({ reason: code("animal_not_named", sheet), column: "animal", value: null });
  }
  const day = found.kinds.lacksDay ? readTitleDay(titleLines(found.at), context) : null;
  if (day !== null && "reason" in day) return notUnderstood(day);
  const understood = understandColumns(table, rows, found, titlesAbove(found.at), answered, context);
  if ("reason" in understood) return notUnderstood(understood);
  const places = understood.some(
    ({ meaning }) => meaning !== null && (meaning.foot ?? meaning.claw) !== null,
  );
  return {
    layout: animal !== null ? "sheet_per_animal" : places ? "wide" : "table",
    kinds: kindsOf(found, understood),
    headerRow: rows[found.at]!.rowNo,
    columns: understood,
    animal,
    ...(day === null ? {} : { day: day.value }),
  };
}

/** The day that the title gives the sheet; the question where it reads both ways. */
function readTitleDay(
  titles: readonly string[],
  { settings }: UnderstandContext,
): { readonly value: DayNumber } | Question {
  const text = dayOfSheet(titles)!;
  const order = settings.day_first === undefined ? null : settings.day_first ? "day_first" : "month_first";
  const day = readDay(text, order);
  return isRefused(day) ? { reason: day.trouble, column: "date", value: text } : day;
}

interface Question {
  readonly reason: string;
  readonly column: string | null;
  readonly value: string | null;
}

/** The advice is the reason's own: both are worded late, in the reader's language. */
function notUnderstood({ reason, column, value }: Question): NotUnderstood {
  return { reason, column, value, advice: reason };
}

interface PlacedColumn extends ColumnToSettle {
  readonly kind: KindId;
  readonly foot: string | null;
  readonly claw: string | null;
  readonly sureness: ColumnUnderstanding["sureness"];
}

function understandColumns(
  table: TextTable,
  rows: readonly NumberedRow[],
  found: FoundHeader,
  titles: readonly string[],
  answered: KindId | null,
  context: UnderstandContext,
): readonly ColumnUnderstanding[] | Question {
  const { headers, kinds, at } = found;
  const clash = clashing(rows.slice(at + 1), found);
  if (clash !== null) return clash;
  const keys = kinds.readings[0]!.meanings.filter(({ column }) => column?.required === true).map(
    ({ index }) => index,
  );
  const passes = passingRows(headers, keys);
  const below = rows.slice(at + 1);
  const sample = distinctTexts(below, (cells) => !passes(cells));
  const placed = placeColumns(found, sample, titles, answered, context);
  if ("reason" in placed) return placed;
  const wholeSheet = rows.length >= SAMPLE_ROWS;
  const all = wholeSheet ? readToEnd(table, rows[at]!.rowNo) : nothingMore;
  const settled = settleColumns(table, placed, { sample, all }, titles, context.settings);
  if ("reason" in settled) return settled;
  const scale = settleScale(placed, sample, titles, context, kinds.readings[0]!.kind);
  if ("reason" in scale) return scale;
  return headers.map((header, index) => {
    const column = placed.find((one) => one.index === index);
    return describeColumn(index, header, column, settled.get(index), scale, sample(index), below, context);
  });
}

/** Gives bare places (`LF`, `RH inner`) the column that their cells tell. */
function placeColumns(
  { kinds }: FoundHeader,
  sample: (index: number) => ReadonlySet<string>,
  titles: readonly string[],
  answered: KindId | null,
  context: UnderstandContext,
): readonly PlacedColumn[] | Question {
  const all = kinds.readings.flatMap(({ kind, meanings }) => meanings.map((meaning) => ({ kind, meaning })));
  const wrong = all.find(({ meaning }) => meaning.unknownUnit !== null)?.meaning;
  if (wrong !== undefined) {
    return { reason: code("unknown_unit", wrong.unknownUnit!), column: wrong.header, value: null };
  }
  const bare = all.filter(({ meaning }) => meaning.column === null);
  const texts = bare.flatMap(({ meaning }) => [...sample(meaning.index)]);
  const named = bare.some(({ meaning }) => meaning.unitText !== null) ? ["toe"] : [];
  const measure =
    bare.length === 0
      ? null
      : measureOfCells(texts, [...titles, "hoof", ...named], answered, lesionWords(context.settings.lesions));
  if (measure !== null && "reason" in measure) {
    return { reason: measure.reason, column: bare[0]!.meaning.header, value: texts[0] ?? null };
  }
  return all.map(({ kind, meaning }) => {
    const of = meaning.column === null ? measure!.kind : kind;
    const column = meaning.column ?? columnOf(of, measure!.column);
    const instead = secondMeaning(meaning, sample(meaning.index));
    if (instead !== null && !all.some((one) => one.meaning.column === instead)) {
      return placed(kind, instead, meaning, null);
    }
    return placed(of, column, meaning, meaning.unit ?? unitOfPlace(column, meaning.unitText));
  });
}

function placed(kind: KindId, column: Column, meaning: HeaderMeaning, unit: string | null): PlacedColumn {
  const { index, header, foot, claw, sureness } = meaning;
  return { index, header, kind, column, foot, claw, sureness, unit, cellsAlone: kindTraits[kind].cellsAlone };
}

/** 'Toe' may head lengths or claws: where all its cells name claws, it is the claw. */
function secondMeaning({ column, other }: HeaderMeaning, texts: ReadonlySet<string>): Column | null {
  if (other?.type !== "claw" || column?.type === "claw" || texts.size === 0) return null;
  return [...texts].every((text) => !isRefused(readClaw(text))) ? other : null;
}

function kindsOf({ kinds }: FoundHeader, columns: readonly ColumnUnderstanding[]): readonly KindId[] {
  const used = new Set(columns.flatMap(({ meaning }) => (meaning === null ? [] : [meaning.kind])));
  const main = kinds.readings.map(({ kind }) => kind).filter((kind) => used.has(kind));
  return [...main, ...kindIds.filter((kind) => used.has(kind) && !main.includes(kind))];
}

/** Two columns that mean the same and do not say the same. */
function clashing(below: readonly NumberedRow[], { kinds }: FoundHeader): Question | null {
  for (const [one, other] of kinds.readings.flatMap(({ twins }) => twins)) {
    const row = below.find(
      ({ cells }) => (cells[one.index] ?? "").trim() !== (cells[other.index] ?? "").trim(),
    );
    if (row !== undefined) {
      return {
        reason: code("two_columns_of_one_meaning", one.column?.name ?? one.header),
        column: other.header,
        value: row.cells[other.index] ?? "",
      };
    }
  }
  return null;
}

const nothingMore: ColumnTexts["all"] = () => {};

/** Shows every distinct text of some columns below the header, to the end of the sheet. */
function readToEnd(table: TextTable, headerRow: number): ColumnTexts["all"] {
  return (indices, see) => {
    if (indices.length === 0) return;
    const seen = indices.map(() => new Set<string>());
    for (const { rows, rowNumbers } of table.batches()) {
      for (let i = 0; i < rows.length; i++) {
        if (rowNumbers[i]! <= headerRow) continue;
        for (let j = 0; j < indices.length; j++) {
          const text = rows[i]![indices[j]!] ?? "";
          if (text === "" || seen[j]!.has(text)) continue;
          if (seen[j]!.size < MOST_REMEMBERED) seen[j]!.add(text);
          see(indices[j]!, text);
        }
      }
    }
  };
}

const MOST_REMEMBERED = 100_000;

function describeColumn(
  index: number,
  header: string,
  column: PlacedColumn | undefined,
  settled: SettledColumn | undefined,
  scale: SettledScale,
  texts: ReadonlySet<string>,
  below: readonly NumberedRow[],
  { settings }: UnderstandContext,
): ColumnUnderstanding {
  const [sample = ""] = texts;
  if (column === undefined) {
    return {
      index,
      header,
      meaning: null,
      unit: null,
      unitFrom: null,
      dayOrder: null,
      decimalMark: null,
      sample,
      sureness: null,
    };
  }
  const { kind, foot, claw, sureness } = column;
  const { name } = column.column;
  const isGait = kind === "gaits" && name === "gait";
  const carries = fillable.has(name) && !settings.fill_down.includes(name) && blanksFollow(below, index);
  return {
    index,
    header,
    meaning: { kind, column: name, foot, claw },
    unit: isGait ? scale.scale : (settled?.unit ?? null),
    unitFrom: isGait ? scale.from : (settled?.unitFrom ?? null),
    dayOrder: settled?.dayOrder ?? null,
    decimalMark: settled?.decimalMark ?? null,
    sample,
    sureness,
    ...(carries ? { blankBelow: true as const } : {}),
  };
}

const fillable = new Set(["animal", "date", "pen"]);

/** Whether a fifth or more of the cells are blank, below a first one that is not. */
function blanksFollow(below: readonly NumberedRow[], index: number): boolean {
  if (below.length < 2 || (below[0]!.cells[index] ?? "").trim() === "") return false;
  const blank = below.filter(({ cells }) => (cells[index] ?? "").trim() === "").length;
  return blank >= below.length / 5;
}
