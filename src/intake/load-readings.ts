import type { Book, LoadColumn } from "../book/book.ts";
import type { DayNumber } from "../records/days.ts";
import { lengthColumns } from "./kind-traits.ts";
import { texts } from "./load-columns.ts";
import { loadRaw } from "./load-raw.ts";
import { readDay } from "./read-day.ts";
import type { CellTrouble, ReadBatch, RecordBatch, RemarkFound } from "./reading.ts";
import type { SheetToTake } from "./sheet-to-take.ts";
import { columnNames, type HerdKindId, stagedTable } from "./staging.ts";

export interface SourceIds {
  readonly sourceId: number;
  readonly ingestId: number;
  readonly version: number;
  readonly settingsKey: string;
}

/**
 * Reads one worksheet and leaves what the readers made of it in the tables of readings, batch by batch, so
 * that memory does not grow with the sheet. Gives the flocks that its rows name.
 */
export async function loadReadings(
  book: Book,
  sheet: SheetToTake,
  ids: SourceIds,
): Promise<ReadonlySet<string>> {
  const flocks = new Set<string>();
  const counts = new Map<string, number>();
  let rows = 0;
  for (const batch of sheet.batches()) {
    rows += batch.rawRowNo.length + (batch.rawLines?.rows ?? 0);
    for (const [kind, count] of Object.entries(batch.read)) counts.set(kind, (counts.get(kind) ?? 0) + count);
    await loadRaw(book, "intake.raw_row", batch, ids.sourceId);
    const flockOfRow = new Map<number, string>();
    for (const records of batch.records) {
      const flockColumn = flocksOf(records, sheet.flock);
      for (const flock of new Set(flockColumn)) flocks.add(flock);
      if (records.flock !== null) {
        for (let i = 0; i < records.size; i++) flockOfRow.set(records.rowNo[i]!, flockColumn[i]!);
      }
      if (records.kind === "corrections") await loadCorrections(book, records, ids.sourceId);
      else await loadRecords(book, records, records.kind, flockColumn, ids.sourceId);
    }
    await loadBeside(book, batch, sheet, flockOfRow, ids.sourceId);
  }
  await loadSource(book, sheet, ids, rows, counts);
  return flocks;
}

function flocksOf(records: RecordBatch, flock: string): readonly string[] {
  return records.flock === null
    ? new Array<string>(records.size).fill(flock)
    : records.flock.map((one) => (one === null || one.trim() === "" ? flock : one.trim()));
}

async function loadRecords(
  book: Book,
  records: RecordBatch,
  kind: HerdKindId,
  flock: readonly string[],
  sourceId: number,
): Promise<void> {
  const known = columnNames(kind);
  const stray = records.columns.find(({ name }) => !known.includes(name));
  if (stray) throw new Error(`records of ${kind} have no column ${stray.name}`);
  await append(book, stagedTable(kind), [
    texts("flock", flock),
    constant("source_id", sourceId, records.size),
    { name: "row_no", type: "integer", values: records.rowNo },
    { name: "part", type: "integer", values: records.part },
    ...records.columns,
  ]);
}

async function loadCorrections(book: Book, records: RecordBatch, sourceId: number): Promise<void> {
  await append(book, "intake.correction", [
    constant("source_id", sourceId, records.size),
    { name: "row_no", type: "integer", values: records.rowNo },
    ...records.columns,
    { name: "applied", type: "flag", values: new Array<boolean>(records.size).fill(false) },
  ]);
}

async function loadBeside(
  book: Book,
  batch: ReadBatch,
  { flock, understanding }: SheetToTake,
  flockOfRow: ReadonlyMap<number, string>,
  sourceId: number,
): Promise<void> {
  const { troubles, remarks, unmapped } = batch;
  await append(book, "intake.read_trouble", troubleColumns(troubles, flock, flockOfRow, sourceId));
  const places = remarks.map((remark) => placeOf(remark, understanding));
  await append(book, "intake.read_remark", [
    texts(
      "flock",
      remarks.map(({ rowNo }) => flockOfRow.get(rowNo) ?? flock),
    ),
    constant("source_id", sourceId, remarks.length),
    rowNumbers(remarks),
    texts(
      "animal",
      places.map(({ animal }) => animal),
    ),
    { name: "day", type: "day", values: Float64Array.from(places, ({ day }) => day ?? Number.NaN) },
    texts(
      "remark",
      remarks.map(({ remark }) => remark),
    ),
    texts(
      "would_be",
      remarks.map(({ wouldBe }) => wouldBe),
    ),
    { name: "notifiable", type: "flag", values: remarks.map(({ notifiable }) => notifiable) },
  ]);
  await append(book, "intake.read_word", [
    texts(
      "flock",
      unmapped.map(({ rowNo }) => flockOfRow.get(rowNo) ?? flock),
    ),
    constant("source_id", sourceId, unmapped.length),
    rowNumbers(unmapped),
    texts(
      "column_name",
      unmapped.map(({ column }) => column),
    ),
    texts(
      "word",
      unmapped.map(({ word }) => word),
    ),
  ]);
}

/** Which animal or day the header above a remark says, in a grid; nothing elsewhere. */
function placeOf(
  remark: RemarkFound,
  understanding: SheetToTake["understanding"],
): { readonly animal: string | null; readonly day: DayNumber | null } {
  if ("reason" in understanding || understanding.layout !== "grid") return { animal: null, day: null };
  const column = understanding.columns[remark.column];
  const daysAcross = understanding.columns.some(({ meaning }) => meaning?.column === "animal");
  if (column === undefined) return { animal: null, day: null };
  if (!daysAcross) return { animal: column.header.trim(), day: null };
  const day = readDay(column.header, column.dayOrder);
  return { animal: null, day: "trouble" in day ? null : day.value };
}

function troubleColumns(
  troubles: readonly CellTrouble[],
  flock: string,
  flockOfRow: ReadonlyMap<number, string>,
  sourceId: number,
): readonly LoadColumn[] {
  return [
    texts(
      "flock",
      troubles.map(({ rowNo }) => flockOfRow.get(rowNo) ?? flock),
    ),
    constant("source_id", sourceId, troubles.length),
    rowNumbers(troubles),
    { name: "part", type: "integer", values: Int32Array.from(troubles, ({ part }) => part) },
    texts(
      "kind",
      troubles.map(({ kind }) => kind),
    ),
    texts(
      "column_name",
      troubles.map(({ column }) => column),
    ),
    texts(
      "value",
      troubles.map(({ value }) => value),
    ),
    texts(
      "reason",
      troubles.map(({ reason }) => reason),
    ),
    texts(
      "loses",
      troubles.map(({ loses }) => loses),
    ),
  ];
}

async function loadSource(
  book: Book,
  sheet: SheetToTake,
  ids: SourceIds,
  rows: number,
  counts: ReadonlyMap<string, number>,
): Promise<void> {
  const { understanding } = sheet;
  const question = "reason" in understanding ? understanding : null;
  const kinds = "reason" in understanding ? [] : understanding.kinds;
  await append(book, "intake.source", [
    constant("source_id", ids.sourceId, 1),
    constant("ingest_id", ids.ingestId, 1),
    texts("flock", [sheet.flock]),
    texts("file", [sheet.file]),
    texts("worksheet", [sheet.worksheet]),
    texts("kind", [kinds[0] ?? null]),
    texts("layout", ["reason" in understanding ? null : understanding.layout]),
    texts("sha256", [sheet.sha256]),
    constant("version", ids.version, 1),
    constant("row_count", rows, 1),
    texts("understood", [JSON.stringify(understanding)]),
  ]);
  await append(book, "intake.source_reading", [
    constant("source_id", ids.sourceId, 1),
    texts("settings_key", [ids.settingsKey]),
    texts("corrections_key", [sheet.correctionsKey]),
    { name: "has_lengths", type: "flag", values: [hasLengths(sheet)] },
  ]);
  const counted = [...counts].filter(([, count]) => count > 0);
  await append(book, "intake.read_count", [
    constant("source_id", ids.sourceId, counted.length),
    texts(
      "kind",
      counted.map(([kind]) => kind),
    ),
    { name: "records", type: "integer", values: Int32Array.from(counted, ([, count]) => count) },
  ]);
  const whole = [
    ...(question
      ? [{ rowNo: 0, column: question.column, value: question.value, reason: question.reason }]
      : []),
    ...sheet.lineTroubles.map(({ rowNo, reason }) => ({ rowNo, column: null, value: null, reason })),
  ];
  await append(book, "intake.read_trouble", [
    texts(
      "flock",
      whole.map(() => sheet.flock),
    ),
    constant("source_id", ids.sourceId, whole.length),
    rowNumbers(whole),
    constant("part", 0, whole.length),
    texts(
      "column_name",
      whole.map(({ column }) => column),
    ),
    texts(
      "value",
      whole.map(({ value }) => value),
    ),
    texts(
      "reason",
      whole.map(({ reason }) => reason),
    ),
    texts(
      "loses",
      whole.map(() => "sheet"),
    ),
  ]);
  const outcomes = sheet.outcomes();
  await append(book, "intake.correction_outcome", [
    constant("source_id", ids.sourceId, outcomes.length),
    texts(
      "flock",
      outcomes.map((one) => one.flock),
    ),
    texts(
      "file",
      outcomes.map((one) => one.file),
    ),
    texts(
      "worksheet",
      outcomes.map((one) => one.worksheet),
    ),
    rowNumbers(outcomes),
    texts(
      "reason",
      outcomes.map((one) => one.reason),
    ),
  ]);
  const answers = sheet.answers();
  await append(book, "intake.remark_answer", [
    texts(
      "flock",
      answers.map((one) => one.flock),
    ),
    constant("source_id", ids.sourceId, answers.length),
    texts(
      "file",
      answers.map((one) => one.file),
    ),
    texts(
      "worksheet",
      answers.map((one) => one.worksheet),
    ),
    rowNumbers(answers),
    { name: "day", type: "day", values: Float64Array.from(answers, ({ day }) => day ?? Number.NaN) },
    texts(
      "remark",
      answers.map((one) => one.remark),
    ),
    texts(
      "would_be",
      answers.map((one) => one.wouldBe),
    ),
    { name: "confirmed", type: "flag", values: answers.map((one) => one.confirmed) },
  ]);
}

function hasLengths({ understanding }: SheetToTake): boolean {
  if ("reason" in understanding) return false;
  return understanding.columns.some(
    ({ meaning }) => meaning?.kind === "trims" && lengthColumns.includes(meaning.column),
  );
}

/** Most sheets leave most of these tables as they are. */
async function append(book: Book, table: string, columns: readonly LoadColumn[]): Promise<void> {
  if (columns.some(({ values }) => values.length > 0)) await book.load(table, columns);
}

function constant(name: string, value: number, size: number): LoadColumn {
  return { name, type: "integer", values: new Int32Array(size).fill(value) };
}

function rowNumbers(rows: readonly { readonly rowNo: number }[]): LoadColumn {
  return { name: "row_no", type: "integer", values: Int32Array.from(rows, ({ rowNo }) => rowNo) };
}
