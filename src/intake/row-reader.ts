import { code } from "../records/codes.ts";
import { type KindId, kinds } from "../records/kinds.ts";
import { type CellRead, isRefused } from "./cell-read.ts";
import { completer, type Implied } from "./complete-record.ts";
import type { KindSink } from "./kind-sink.ts";
import { anyFilled, type LesionRecord, lesionCellReader, lesionStorer } from "./lesion-records.ts";
import { lesionWords } from "./lesion-words.ts";
import type { PlannedCell } from "./planned-cell.ts";
import type { ReadContext } from "./read-context.ts";
import type { CellTrouble } from "./reading.ts";
import type { PlannedRecord, RecordPlan } from "./record-plan.ts";
import type { RowGatherings } from "./row-gatherings.ts";
import { rowsByFoot } from "./several-feet.ts";

/** Reads one row into the sinks of its plan, and what it cannot take into `gathered`. */
export type RowReader = (cells: readonly string[], rowNo: number, gathered: RowGatherings) => void;

/** A reader of rows after a plan: each planned record that a row gives is written, counted, or set aside. */
export function rowReader(plan: RecordPlan, context: ReadContext): RowReader {
  const steps = plan.records.map((record) => stepOf(record, context));
  const silent = steps.find(({ record }) => record === plan.silent);
  return (cells, rowNo, gathered) => {
    let part = 0;
    let lastKind: KindId | null = null;
    let ofKind = 0;
    for (const step of steps) {
      const { record } = step;
      if (record.kind !== lastKind) {
        lastKind = record.kind;
        ofKind = part;
      }
      const told = anyFilled(cells, record.telling);
      if (!told && record.given === "if_told") continue;
      if (!told && record.given === "if_told_or_alone" && part > ofKind) continue;
      const speaks = told || record.bareCounts || anyFilled(cells, record.tellingAlone);
      part += speaks
        ? step.write(cells, rowNo, part, gathered)
        : step.writeSilent(cells, rowNo, part, gathered);
    }
    // no filled row passes without a trace
    if (part === 0) silent?.writeSilent(cells, rowNo, part, gathered);
  };
}

interface Step {
  readonly record: PlannedRecord;
  /** Writes the records of a row; how many they are, those set aside included. */
  write(cells: readonly string[], rowNo: number, part: number, gathered: RowGatherings): number;
  /** Sets aside a row that records nothing. */
  writeSilent(cells: readonly string[], rowNo: number, part: number, gathered: RowGatherings): number;
}

function stepOf(record: PlannedRecord, context: ReadContext): Step {
  const lesion = record.cells.find(({ column }) => column.type === "lesions");
  const others = lesion === undefined ? record.cells : record.cells.filter((cell) => cell !== lesion);
  const keys = others.filter(({ column, index }) => column.required === true && index >= 0);
  const known = record.cells.filter(({ index }) => index >= 0).map(({ index }) => index);
  const complete = completer(record, context.settings, context.withoutLengths);
  const writeOne =
    lesion === undefined
      ? plainWriter(record, others, complete)
      : lesionWriter(record, others, lesion, context);
  const byFoot = rowsByFoot(record.kind, record.cells);
  return {
    record,
    write(cells, rowNo, part, gathered) {
      let written = 0;
      for (const row of byFoot(cells)) written += writeOne(row, rowNo, part + written, gathered);
      return written;
    },
    writeSilent(cells, rowNo, part, gathered) {
      // a row that fills nothing that is understood is no record at all
      if (!anyFilled(cells, known)) return 0;
      count(gathered, record.kind, 1);
      const missing = keys.find(
        ({ index }) => !record.telling.includes(index) && (cells[index] ?? "").trim() === "",
      );
      const column = missing?.header ?? record.silentHeader;
      const reason =
        missing === undefined ? code("nothing_recorded") : code("missing_value", missing.column.name);
      gathered.troubles.push({ kind: record.kind, rowNo, part, column, value: "", reason, loses: "record" });
      return 1;
    },
  };
}

function plainWriter(
  record: PlannedRecord,
  cells: readonly PlannedCell[],
  complete: () => Implied | null,
): Step["write"] {
  const { sink, kind } = record;
  return (row, rowNo, part, gathered) => {
    count(gathered, kind, 1);
    let stands = storeCells(record, cells, row, rowNo, part, gathered.troubles);
    if (stands) {
      const implied = complete();
      if (implied !== null) {
        stands = false;
        gathered.troubles.push(impliedTrouble(record, implied, row, rowNo, part));
      }
    }
    if (stands) sink.keep(rowNo, part);
    return 1;
  };
}

function lesionWriter(
  record: PlannedRecord,
  others: readonly PlannedCell[],
  lesion: PlannedCell,
  { settings }: ReadContext,
): Step["write"] {
  const { sink, kind } = record;
  const read: (text: string) => CellRead<readonly LesionRecord[]> = lesionCellReader(
    lesionWords(settings.lesions),
  );
  const store = lesionStorer(sink);
  return (row, rowNo, part, gathered) => {
    const text = row[lesion.index] ?? "";
    const column = lesion.header;
    const refuse = (at: number, reason: string): number =>
      gathered.troubles.push({ kind, rowNo, part: at, column, value: text, reason, loses: "record" });
    const found = anyFilled(row, [lesion.index]) ? read(text) : null;
    if (found === null || isRefused(found)) {
      count(gathered, kind, 1);
      storeCells(record, others, row, rowNo, part, gathered.troubles);
      refuse(part, found === null ? code("missing_value", "lesion") : found.trouble);
      return 1;
    }
    count(gathered, kind, found.value.length);
    for (const [i, one] of found.value.entries()) {
      const stands = storeCells(record, others, row, rowNo, part + i, gathered.troubles);
      const reason = stands ? store(one) : null;
      if (reason !== null) refuse(part + i, reason);
      else if (stands) sink.keep(rowNo, part + i);
      // a finding on several feet is several records but one word
      const { known, text: word } = one.found;
      if (!known && found.value[i - 1]?.found !== one.found) gathered.unmapped.push({ rowNo, column, word });
    }
    return found.value.length;
  };
}

/** Reads cells into the sink's open place; whether the record stands. */
function storeCells(
  { sink, kind, flockAt }: PlannedRecord,
  cells: readonly PlannedCell[],
  row: readonly string[],
  rowNo: number,
  part: number,
  troubles: CellTrouble[],
): boolean {
  sink.open();
  const at = sink.size;
  let stands = true;
  let places: PlannedCell[] | null = null;
  for (const cell of cells) {
    if (cell.constant !== null) {
      cell.sink.store(at, cell.constant);
      continue;
    }
    const text = row[cell.index] ?? "";
    const read = cell.read(text);
    let reason: string;
    if ("trouble" in read) reason = read.trouble;
    else if (read.value !== null) {
      cell.sink.store(at, read.value);
      if (read.value.length === 2 && otherPlace[cell.column.type] !== undefined) {
        places ??= [];
        places.push(cell);
      }
      continue;
    } else if (cell.column.required === true) reason = code("missing_value", cell.column.name);
    else continue;
    const loses = cell.alone ? "cell" : "record";
    if (loses === "record") stands = false;
    troubles.push({ kind, rowNo, part, column: cell.header, value: text, reason, loses });
  }
  for (const cell of places ?? []) {
    const reason = storeOtherPlace(sink, cell, row[cell.index]!);
    if (reason === null) continue;
    stands = false;
    troubles.push({
      kind,
      rowNo,
      part,
      column: cell.header,
      value: row[cell.index]!,
      reason,
      loses: "record",
    });
  }
  if (flockAt >= 0) {
    const name = (row[flockAt] ?? "").trim().replace(/\s+/g, " ");
    sink.setFlock(name === "" ? null : name);
  }
  return stands;
}

/** What a foot or claw cell may name beside its own. */
const otherPlace: Readonly<Partial<Record<string, "claw" | "foot">>> = { foot: "claw", claw: "foot" };

/** Puts the claw that a foot cell names, or the reverse, where its own cell is blank; why it cannot, else null. */
function storeOtherPlace(sink: KindSink, cell: PlannedCell, text: string): string | null {
  const name = otherPlace[cell.column.type]!;
  const column = kinds[sink.kind].columns.find((one) => one.name === name);
  const read = cell.read(text);
  if (column === undefined || isRefused(read) || read.value === null) return null;
  const named = read.value[1]!;
  const own = sink.column(column).get(sink.size);
  if (own !== null && own !== named) {
    return name === "foot" ? code("foot_disagrees", String(own)) : code("unknown_claw");
  }
  sink.column(column).store(sink.size, [named]);
  return null;
}

function impliedTrouble(
  record: PlannedRecord,
  { column, reason }: Implied,
  row: readonly string[],
  rowNo: number,
  part: number,
): CellTrouble {
  const cell = record.cells.find((one) => one.column.name === column);
  const value = cell === undefined || cell.index < 0 ? "" : (row[cell.index] ?? "");
  return { kind: record.kind, rowNo, part, column: cell?.header ?? column, value, reason, loses: "record" };
}

function count(gathered: RowGatherings, kind: KindId, records: number): void {
  gathered.read[kind] = (gathered.read[kind] ?? 0) + records;
}
