import type { LoadColumn } from "../book/book.ts";
import { code } from "../records/codes.ts";
import type { DayNumber } from "../records/days.ts";
import { gaitScales } from "../records/gait-scales.ts";
import { type LesionId, lesionIds } from "../records/lesion-kinds.ts";
import type { Settings } from "../records/settings.ts";
import type { TextTable } from "../sheets/text-table.ts";
import { readDay } from "./read-day.ts";
import { readFlag } from "./read-flag.ts";
import type { CellTrouble, ReadBatch, RecordBatch, TableUnderstanding } from "./reading.ts";
import type { RemarkAnswer } from "./sheet-to-take.ts";

/** Columns of the sheet that lists remarks for the keeper to confirm; the last one is left to be filled in. */
export const remarkColumns = [
  "file",
  "sheet",
  "row",
  "flock",
  "animal",
  "date",
  "remark",
  "record",
  "yes_or_no",
] as const;

type RemarkColumn = (typeof remarkColumns)[number];

/** Row number of the header when a table is such a list, whoever saved it since; null when it is not. */
export function remarksHeader(table: TextTable): number | null {
  for (const { rows, rowNumbers } of table.batches()) {
    const cells = rows[0]?.map((cell) => cell.trim().toLowerCase()) ?? [];
    return remarkColumns.every((name) => cells.includes(name)) ? rowNumbers[0]! : null;
  }
  return null;
}

export interface ConfirmedRemarks {
  readonly understanding: TableUnderstanding;
  batches(): Iterable<ReadBatch>;
  /** What was answered, yes or no, once all batches are read. */
  answers(): readonly RemarkAnswer[];
}

/**
 * Reads a list of remarks that a keeper has gone through. A line with yes is a record of its own: a gait
 * score at the mark from which the flock's scale counts an animal as lame, or a lesion. A line with no, or
 * without an answer, is none.
 */
export function readConfirmedRemarks(
  table: TextTable,
  headerRow: number,
  flock: string,
  settings: Settings,
): ConfirmedRemarks {
  const answers: RemarkAnswer[] = [];
  return {
    understanding: understandingOf(table, headerRow),
    answers: () => answers,
    *batches() {
      answers.length = 0;
      let position: ReadonlyMap<RemarkColumn, number> | null = null;
      for (const { rows, rowNumbers } of table.batches()) {
        const sink = new RemarkSink(settings);
        rows.forEach((cells, i) => {
          if (position === null) {
            const header = cells.map((cell) => cell.trim().toLowerCase());
            position = new Map(remarkColumns.map((name) => [name, header.indexOf(name)]));
            return;
          }
          const at = position;
          const line: Line = {
            rowNo: rowNumbers[i]!,
            cell: (name) => (cells[at.get(name)!] ?? "").trim(),
          };
          const answer = sink.read(line);
          if (answer !== null) answers.push(answerOf(line, answer, sink.dayOf(line), flock));
        });
        yield { rawRowNo: rowNumbers, rawCells: rows, ...sink.batch() };
      }
    },
  };
}

interface Line {
  readonly rowNo: number;
  cell(name: RemarkColumn): string;
}

function answerOf(line: Line, confirmed: boolean, day: DayNumber | null, flock: string): RemarkAnswer {
  return {
    flock: line.cell("flock") || flock,
    file: line.cell("file"),
    worksheet: line.cell("sheet") || null,
    rowNo: Number(line.cell("row")),
    day,
    remark: line.cell("remark"),
    wouldBe: line.cell("record"),
    confirmed,
  };
}

interface Confirmed {
  readonly rowNo: number;
  readonly flock: string | null;
  readonly animal: string;
  readonly day: number;
  readonly note: string;
  readonly value: string | number;
}

/** Gathers the records of confirmed lines, and what could not be read of them. */
class RemarkSink {
  readonly #settings: Settings;
  readonly #gaits: Confirmed[] = [];
  readonly #lesions: Confirmed[] = [];
  readonly #troubles: CellTrouble[] = [];

  constructor(settings: Settings) {
    this.#settings = settings;
  }

  /** The line's answer; null when it has none. */
  read(line: Line): boolean | null {
    const text = line.cell("yes_or_no");
    if (text === "") return null;
    const [kind, ...rest] = line.cell("record").split(":");
    const word = rest.join(":").trim();
    const isGait = kind?.trim() === "gaits";
    const answer = readFlag(text);
    if ("trouble" in answer) {
      this.#lose(line, isGait, "yes_or_no", text, answer.trouble);
      return null;
    }
    if (!answer.value) return false;
    const day = readDay(line.cell("date"), this.#dayOrder());
    const value = isGait ? this.#lameScore() : lesionIds.includes(word as LesionId) ? word : null;
    if (line.cell("animal") === "") this.#lose(line, isGait, "animal", "", code("missing_value", "animal"));
    else if ("trouble" in day) this.#lose(line, isGait, "date", line.cell("date"), day.trouble);
    else if (value === null) {
      const reason = isGait ? code("scale_not_known") : code("unknown_word", "record", "other");
      this.#lose(line, isGait, "record", line.cell("record"), reason);
    } else {
      (isGait ? this.#gaits : this.#lesions).push({
        rowNo: line.rowNo,
        flock: line.cell("flock") || null,
        animal: line.cell("animal"),
        day: day.value,
        note: line.cell("remark"),
        value,
      });
    }
    return true;
  }

  dayOf(line: Line): DayNumber | null {
    const day = readDay(line.cell("date"), this.#dayOrder());
    return "trouble" in day ? null : day.value;
  }

  batch(): Pick<ReadBatch, "records" | "read" | "troubles" | "remarks" | "unmapped"> {
    const lost = (kind: "gaits" | "lesions"): number =>
      this.#troubles.filter((one) => one.kind === kind).length;
    const scale = this.#settings.gait_scale ?? null;
    const records = [
      batchOf("gaits", this.#gaits, [
        {
          name: "gait",
          type: "number",
          values: Float64Array.from(this.#gaits, ({ value }) => Number(value)),
        },
        { name: "gait_scale", type: "text", values: this.#gaits.map(() => scale) },
      ]),
      batchOf("lesions", this.#lesions, [
        { name: "lesion", type: "text", values: this.#lesions.map(({ value }) => String(value)) },
        { name: "lesion_text", type: "text", values: this.#lesions.map(({ note }) => note) },
        { name: "suspected", type: "flag", values: this.#lesions.map(() => false) },
        { name: "status", type: "text", values: this.#lesions.map(() => "found") },
      ]),
    ].filter(({ size }) => size > 0);
    return {
      records,
      read: { gaits: this.#gaits.length + lost("gaits"), lesions: this.#lesions.length + lost("lesions") },
      troubles: this.#troubles,
      remarks: [],
      unmapped: [],
    };
  }

  #lose(line: Line, isGait: boolean, column: string, value: string, reason: string): void {
    const kind = isGait ? "gaits" : "lesions";
    this.#troubles.push({ kind, rowNo: line.rowNo, part: 0, column, value, reason, loses: "record" });
  }

  #lameScore(): number | null {
    const { gait_scale: scale, lame_from: from } = this.#settings;
    return scale === undefined ? null : (from ?? gaitScales[scale].lameFrom);
  }

  #dayOrder(): "day_first" | "month_first" | null {
    const { day_first: first } = this.#settings;
    return first === undefined ? null : first ? "day_first" : "month_first";
  }
}

function batchOf(
  kind: "gaits" | "lesions",
  lines: readonly Confirmed[],
  own: readonly LoadColumn[],
): RecordBatch {
  return {
    kind,
    size: lines.length,
    rowNo: Int32Array.from(lines, ({ rowNo }) => rowNo),
    part: new Int32Array(lines.length),
    flock: lines.map(({ flock }) => flock),
    columns: [
      { name: "animal", type: "text", values: lines.map(({ animal }) => animal) },
      { name: "date", type: "day", values: Float64Array.from(lines, ({ day }) => day) },
      { name: "note", type: "text", values: lines.map(({ note }) => note) },
      { name: "origin", type: "text", values: lines.map(() => "remark") },
      ...own,
    ],
  };
}

function understandingOf(table: TextTable, headerRow: number): TableUnderstanding {
  const [batch] = table.batches();
  const header = batch?.rows[0] ?? [];
  return {
    layout: "table",
    kinds: ["gaits", "lesions"],
    headerRow,
    columns: header.map((name, index) => ({
      index,
      header: name,
      meaning: null,
      unit: null,
      unitFrom: null,
      dayOrder: null,
      decimalMark: null,
      sample: "",
      sureness: null,
    })),
    animal: null,
  };
}
