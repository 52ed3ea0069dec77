import { columnOf, type KindId } from "../records/kinds.ts";
import type { TextTable } from "../sheets/text-table.ts";
import { planGrid, remarkColumns, signColumns } from "./grid-plan.ts";
import { groupTest } from "./group-words.ts";
import { lengthColumns } from "./kind-traits.ts";
import { lesionWords } from "./lesion-words.ts";
import { passingRows } from "./passing-rows.ts";
import { readCoded, recordByCodes } from "./read-coded.ts";
import type { ReadContext } from "./read-context.ts";
import { type RemarkMeaning, readRemark } from "./read-remark.ts";
import type { ReadBatch, TableUnderstanding } from "./reading.ts";
import { planRecords, type RecordPlan } from "./record-plan.ts";
import { remembering } from "./remembering.ts";
import { nothingGathered, type RowGatherings } from "./row-gatherings.ts";
import { rowReader } from "./row-reader.ts";
import { topRows } from "./sheet-top.ts";
import type { UnderstandContext } from "./understand-context.ts";

/**
 * Reads the records of an understood worksheet, batch by batch as its rows come, so that memory does not
 * grow with the sheet. Every record is either in `records` or has a trouble that loses it; `read` counts
 * both. Header, title and total rows come along in the raw cells and give no record.
 */
export function* readRecords(
  table: TextTable,
  understanding: TableUnderstanding,
  context: UnderstandContext,
): Iterable<ReadBatch> {
  const reading: ReadContext = {
    ...context,
    isGroup: groupTest(context.knownAnimals, tagsOfSheet(table, understanding)),
    withoutLengths: !understanding.columns.some(
      ({ meaning }) => meaning?.kind === "trims" && lengthColumns.includes(meaning.column),
    ),
    serialShift: table.notes.some(({ code }) => code === "dates_from_1904") ? DAYS_BETWEEN_1900_AND_1904 : 0,
  };
  const plan: RecordPlan =
    understanding.layout === "grid" ? planGrid(understanding, reading) : planRecords(understanding, reading);
  const read = rowReader(plan, reading);
  const passes = passingRows(
    understanding.columns.map(({ header }) => header),
    keyColumns(understanding),
  );
  const filled = fillingDown(table, understanding, context.settings.fill_down);
  const scan = remarkScanner(understanding, context);
  const readRow = (row: readonly string[], rowNo: number, gathered: RowGatherings): void => {
    if (rowNo <= understanding.headerRow || passes(row)) return;
    read(filled === null ? row : filled(row, rowNo), rowNo, gathered);
    scan(row, rowNo, gathered);
  };
  const record = filled === null ? recordByCodes(plan, reading.withoutLengths) : null;
  if (record !== null && table.codedRows !== undefined) {
    const { columns, headerRow } = understanding;
    const speaks = (at: number, text: string): boolean => {
      const row = columns.map(({ index }) => (index === at ? text : ""));
      const gathered = nothingGathered();
      scan(row, 0, gathered);
      return text.trim() === columns[at]!.header.trim() || passes(row) || gathered.remarks.length > 0;
    };
    yield* readCoded(table.codedRows(columns.length), record, headerRow, { read: readRow, speaks });
    return;
  }
  for (const { rows, rowNumbers } of table.batches()) {
    const gathered = nothingGathered();
    for (let i = 0; i < rows.length; i++) readRow(rows[i]!, rowNumbers[i]!, gathered);
    yield {
      rawRowNo: rowNumbers,
      rawCells: rows,
      records: plan.sinks.map((sink) => sink.take()).filter((batch) => batch !== null),
      ...gathered,
    };
  }
}

/** Day 0 of the 1904 system is day 1462 of the 1900 one (ECMA-376 part 1, 18.17.4.1). */
const DAYS_BETWEEN_1900_AND_1904 = 1462;

function columnsNamed({ columns }: TableUnderstanding, names: readonly string[]): number[] {
  return columns
    .filter(
      ({ meaning, sureness }) => meaning !== null && sureness !== "values" && names.includes(meaning.column),
    )
    .map(({ index }) => index);
}

/** Columns that a row of totals leaves blank. */
function keyColumns(understanding: TableUnderstanding): number[] {
  if (understanding.layout === "grid") return [];
  const main: KindId = understanding.kinds[0]!;
  return understanding.columns
    .filter(({ meaning }) => meaning?.kind === main && meaning.foot === null && meaning.claw === null)
    .filter(({ meaning }) => meaning!.column !== "flock" && columnOf(main, meaning!.column).required === true)
    .map(({ index }) => index);
}

const TAGS_LOOKED_AT = 2000;

/** Tags that the top of the sheet names, to tell a range of tags from a tag with a dash in it. */
function tagsOfSheet(table: TextTable, understanding: TableUnderstanding): ReadonlySet<string> {
  const [at] = columnsNamed(understanding, ["animal"]);
  if (at === undefined) return new Set();
  return new Set(topRows(table, TAGS_LOOKED_AT).map(({ cells }) => (cells[at] ?? "").trim()));
}

/**
 * Puts into blank cells what stood above them: in the columns where the settings say that blank means the
 * same, and inside merged cells, which a spreadsheet shows as one; null where no cell can be filled so.
 */
function fillingDown(
  table: TextTable,
  understanding: TableUnderstanding,
  names: readonly string[],
): ((row: readonly string[], rowNo: number) => readonly string[]) | null {
  const columns = columnsNamed(understanding, ["animal", "date", "pen"])
    .map((at) => ({
      at,
      always: columnsNamed(understanding, names).includes(at),
      merged: table.mergedRanges.filter(
        ({ left, right, top, bottom }) => left === at + 1 && right === left && bottom > top,
      ),
      last: "",
      lastRow: 0,
    }))
    .filter(({ always, merged }) => always || merged.length > 0);
  if (columns.length === 0) return null;
  return (row, rowNo) => {
    let copy: string[] | null = null;
    for (const column of columns) {
      const text = row[column.at] ?? "";
      if (text.trim() !== "") {
        column.last = text;
        column.lastRow = rowNo;
        continue;
      }
      const inMerged = column.merged.some(
        ({ top, bottom }) => top <= column.lastRow && column.lastRow < rowNo && rowNo <= bottom,
      );
      if (!column.always && !inMerged) continue;
      copy ??= [...row];
      while (copy.length < column.at) copy.push("");
      copy[column.at] = column.last;
    }
    return copy ?? row;
  };
}

function remarkScanner(
  understanding: TableUnderstanding,
  { settings }: UnderstandContext,
): (row: readonly string[], rowNo: number, gathered: RowGatherings) => void {
  const columns = remarkColumns(understanding);
  const onlySigns = signColumns(understanding).filter((at) => !columns.includes(at));
  const words = lesionWords(settings.lesions);
  const scan = remembering((text: string): RemarkMeaning | "nothing" => readRemark(text, words) ?? "nothing");
  return (row, rowNo, gathered) => {
    for (const at of columns) {
      const text = row[at] ?? "";
      if (text.length < SHORTEST_REMARK) continue;
      const found = scan(text);
      if (found === "nothing") continue;
      for (const wouldBe of found.wouldBe) {
        gathered.remarks.push({
          rowNo,
          column: at,
          remark: text.trim(),
          wouldBe,
          notifiable: found.notifiable,
        });
      }
    }
    for (const at of onlySigns) {
      const text = row[at] ?? "";
      if (text.length < SHORTEST_REMARK) continue;
      const found = scan(text);
      if (found === "nothing" || !found.notifiable) continue;
      gathered.remarks.push({ rowNo, column: at, remark: text.trim(), wouldBe: TAKEN, notifiable: true });
    }
  };
}

const SHORTEST_REMARK = 3;
/** What a cell would be that was taken as data already: there is nothing to confirm. */
const TAKEN = "";
