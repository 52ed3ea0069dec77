import type { Book } from "../book/book.ts";
import { type Code, readCodes, wordAdvice, wordCode } from "../records/codes.ts";
import type { Language } from "../records/language.ts";
import type { NotUnderstood, TableUnderstanding } from "./reading.ts";

/**
 * What pages, sheets and the terminal say of the intake, read from the book. Everything speaks of the sheets
 * that hold now; `flock` null means all flocks.
 */
export interface SourceSum {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  readonly kind: string;
  readonly read: number;
  readonly taken: number;
  readonly set_aside: number;
  readonly repeats: number;
  readonly rows_whole: number;
  readonly rows_in_part: number;
  readonly rows_none: number;
}

/** The sum over records of each sheet and kind: read = taken + set aside + exact repeats. */
export function sumsBySource(book: Book, flock: string | null): Promise<SourceSum[]> {
  return book.rows<SourceSum>(
    `SELECT s.flock, s.file, s.worksheet, r.kind, r."read", r.taken, r.set_aside, r.repeats, r.rows_whole, r.rows_in_part, r.rows_none
     FROM intake.record_sum r JOIN intake.current_source s USING (source_id)
     WHERE ? IS NULL OR s.flock = ? ORDER BY s.flock, s.file, s.worksheet, r.kind`,
    [flock, flock],
  );
}

export interface ReasonGroup {
  readonly code: Code;
  /** The first one's reason and advice in words, its own arguments put in. */
  readonly says: string;
  readonly advice: string;
  readonly records: number;
  readonly cells: number;
  readonly sheets: number;
  readonly example: {
    readonly file: string;
    readonly worksheet: string | null;
    readonly row: number;
    readonly column: string | null;
    readonly value: string | null;
  };
}

/** What was set aside, grouped by its first reason, most frequent first. */
export async function setAsideByReason(
  book: Book,
  flock: string | null,
  language: Language,
): Promise<readonly ReasonGroup[]> {
  const rows = await book.rows<{
    reason: string;
    records: number;
    cells: number;
    sheets: number;
    file: string;
    worksheet: string | null;
    row_no: number;
    column_name: string | null;
    value: string | null;
  }>(
    `WITH one AS (
       SELECT a.*, s.file, s.worksheet, regexp_extract(a.reason, '^[a-z0-9_]+') AS code
       FROM intake.set_aside a JOIN intake.current_source s USING (source_id) WHERE ? IS NULL OR a.flock = ?
     )
     SELECT first.reason, CAST(records AS INTEGER) AS records, CAST(cells AS INTEGER) AS cells, CAST(sheets AS INTEGER) AS sheets,
       first.file, first.worksheet, first.row_no, first.column_name, first.value
     FROM (
       SELECT code, count(*) FILTER (loses = 'record') AS records, count(*) FILTER (loses = 'cell') AS cells,
         count(*) FILTER (loses = 'sheet') AS sheets,
         arg_min({'reason': reason, 'file': file, 'worksheet': worksheet, 'row_no': row_no, 'column_name': column_name, 'value': value},
           (file, coalesce(worksheet, ''), row_no, part)) AS first
       FROM one GROUP BY code
     ) ORDER BY sheets > 0 DESC, records DESC, cells DESC, code`,
    [flock, flock],
  );
  return rows.map((row) => {
    const [first] = readCodes(row.reason);
    return {
      code: first!.id,
      says: wordCode(first!, language),
      advice: wordAdvice(first!, language),
      records: row.records,
      cells: row.cells,
      sheets: row.sheets,
      example: {
        file: row.file,
        worksheet: row.worksheet,
        row: row.row_no,
        column: row.column_name,
        value: row.value,
      },
    };
  });
}

export interface SetAsideSheet {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  /** Headers as the sheet has them, for the rows to be taken again once put right. */
  readonly headers: readonly string[];
  readonly rows: readonly {
    readonly row: number;
    readonly cells: readonly string[];
    /** One line for each fault: the column, the value, and what is wrong, in words. */
    readonly faults: readonly string[];
  }[];
}

/** The rows of each sheet from which something was set aside, as they came. */
export async function setAsideSheets(
  book: Book,
  flock: string | null,
  language: Language,
): Promise<readonly SetAsideSheet[]> {
  const rows = await book.rows<{
    source_id: number;
    flock: string;
    file: string;
    worksheet: string | null;
    understood: string;
    row_no: number;
    cells: string;
    column_name: string | null;
    value: string | null;
    reason: string;
  }>(
    `SELECT s.source_id, s.flock, s.file, s.worksheet, s.understood, a.row_no, r.cells, a.column_name, a.value, a.reason
     FROM intake.set_aside a JOIN intake.current_source s USING (source_id)
     JOIN intake.raw_row r ON r.source_id = a.source_id AND r.row_no = a.row_no
     WHERE ? IS NULL OR a.flock = ?
     ORDER BY s.flock, s.file, s.worksheet, a.row_no, a.kind, a.part, a.column_name`,
    [flock, flock],
  );
  const sheets = new Map<number, Omit<SetAsideSheet, "rows"> & { readonly rows: SetAsideRow[] }>();
  for (const one of rows) {
    const sheet = sheets.get(one.source_id) ?? {
      flock: one.flock,
      file: one.file,
      worksheet: one.worksheet,
      headers: headersOf(one.understood),
      rows: [],
    };
    sheets.set(one.source_id, sheet);
    let row = sheet.rows.at(-1);
    if (row?.row !== one.row_no) {
      row = { row: one.row_no, cells: JSON.parse(one.cells) as string[], faults: [] };
      sheet.rows.push(row);
    }
    for (const reason of readCodes(one.reason))
      row.faults.push(faultInWords(one, wordCode(reason, language)));
  }
  return [...sheets.values()];
}

interface SetAsideRow {
  readonly row: number;
  readonly cells: readonly string[];
  readonly faults: string[];
}

function headersOf(understood: string): readonly string[] {
  const understanding = JSON.parse(understood) as TableUnderstanding | NotUnderstood;
  return "reason" in understanding ? [] : understanding.columns.map(({ header }) => header);
}

function faultInWords(one: { column_name: string | null; value: string | null }, says: string): string {
  const place = one.column_name === null ? "" : `${one.column_name}${one.value ? ` '${one.value}'` : ""}: `;
  return place + says;
}

export interface AnimalToAdd {
  readonly flock: string;
  readonly animal: string;
  readonly records: number;
  /** Day numbers; null when no record has a day. */
  readonly first: number | null;
  readonly last: number | null;
  readonly nearest: string | null;
}

/** Tags of records that no animal has, each once. */
export function animalsToAdd(book: Book, flock: string | null): Promise<AnimalToAdd[]> {
  return book.rows<AnimalToAdd>(
    `SELECT flock, tag AS animal, records, day_no(first_day) AS "first", day_no(last_day) AS "last", nearest
     FROM intake.unlisted_animal WHERE ? IS NULL OR flock = ? ORDER BY flock, records DESC, tag`,
    [flock, flock],
  );
}

export interface WordToMap {
  readonly flock: string;
  readonly column: string;
  readonly word: string;
  readonly rows: number;
  readonly file: string;
  readonly row: number;
}

/** Words of cells that no list knows, most frequent first, each with the first place where it stands. */
export function wordsToMap(book: Book, flock: string | null): Promise<WordToMap[]> {
  return book.rows<WordToMap>(
    `SELECT flock, "column", word, CAST(n AS INTEGER) AS "rows", first.file AS file, first.row_no AS "row" FROM (
       SELECT w.flock, w.column_name AS "column", lower(trim(w.word)) AS word, count(*) AS n,
         arg_min({'file': s.file, 'row_no': w.row_no}, (s.file, w.row_no)) AS first
       FROM intake.unmapped_word w JOIN intake.current_source s USING (source_id)
       WHERE ? IS NULL OR w.flock = ? GROUP BY ALL
     ) ORDER BY flock, n DESC, word`,
    [flock, flock],
  );
}

export interface RemarkToConfirm {
  readonly file: string;
  readonly sheet: string | null;
  readonly row: number;
  readonly flock: string;
  readonly animal: string | null;
  /** Day number. */
  readonly date: number | null;
  readonly remark: string;
  readonly record: string;
  readonly notifiable: boolean;
}

/**
 * Remarks that speak of a limp, a sore or worse and that nobody has answered; those with a sign of notifiable
 * disease first.
 */
export function remarksToConfirm(book: Book, flock: string | null): Promise<RemarkToConfirm[]> {
  return book.rows<RemarkToConfirm>(
    `SELECT s.file, s.worksheet AS sheet, r.row_no AS "row", r.flock, r.animal, day_no(r."date") AS "date", r.remark,
       r.would_be AS record, r.notifiable
     FROM intake.remark r JOIN intake.current_source s USING (source_id)
     WHERE (? IS NULL OR r.flock = ?) AND r.would_be <> '' AND NOT EXISTS (
       SELECT 1 FROM intake.remark_answer a SEMI JOIN intake.current_source c ON c.source_id = a.source_id
       WHERE a.flock = r.flock AND a.file = s.file AND a.worksheet IS NOT DISTINCT FROM s.worksheet
         AND a.row_no = r.row_no AND a.remark = r.remark AND a.would_be = r.would_be
         AND (a.day = r."date" OR r."date" IS NULL))
     ORDER BY r.notifiable DESC, r.flock, s.file, s.worksheet, r.row_no, r.would_be`,
    [flock, flock],
  );
}

export interface SheetUnderstood {
  readonly flock: string;
  readonly file: string;
  readonly worksheet: string | null;
  readonly rows: number;
  readonly understanding: TableUnderstanding | NotUnderstood;
}

/** How each sheet and each of its columns was understood, or the question that would settle it. */
export async function sheetsUnderstood(
  book: Book,
  flock: string | null,
): Promise<readonly SheetUnderstood[]> {
  const rows = await book.rows<Omit<SheetUnderstood, "understanding"> & { readonly understood: string }>(
    `SELECT flock, file, worksheet, row_count AS "rows", understood FROM intake.current_source
     WHERE ? IS NULL OR flock = ? ORDER BY flock, file, worksheet`,
    [flock, flock],
  );
  return rows.map(({ understood, ...row }) => ({
    ...row,
    understanding: JSON.parse(understood) as TableUnderstanding | NotUnderstood,
  }));
}
