import { code } from "../records/codes.ts";
import { flock } from "../records/columns.ts";
import type { Column } from "../records/kind.ts";
import { columnOf, type KindId, kinds } from "../records/kinds.ts";
import type { TextTable } from "../sheets/text-table.ts";
import { isRefused } from "./cell-read.ts";
import { type FoundGrid, settleGridDays } from "./grid-layout.ts";
import { lesionWords } from "./lesion-words.ts";
import { measureOfCells } from "./measure-of-cells.ts";
import { readDay } from "./read-day.ts";
import type { ColumnUnderstanding, TableUnderstanding } from "./reading.ts";
import { settleColumns } from "./settle-columns.ts";
import { distinctTexts, type NumberedRow } from "./sheet-top.ts";
import type { UnderstandContext } from "./understand-context.ts";

interface Question {
  readonly reason: string;
  readonly column: string | null;
  readonly value: string | null;
}

/** Understands a grid whose header was found: what its cells measure and how its dates and numbers read. */
export function understandGrid(
  table: TextTable,
  rows: readonly NumberedRow[],
  found: Omit<FoundGrid, "dayOrder">,
  titles: readonly string[],
  answered: KindId | null,
  context: UnderstandContext,
): TableUnderstanding | Question {
  const grid = settleGridDays(found, context.settings.day_first ?? null);
  if ("question" in grid) {
    return { reason: code("date_reads_both_ways"), column: grid.question, value: grid.question };
  }
  const first = grid.cells[0]!;
  if (grid.lacksYear || yearTurns(grid)) {
    return { reason: code("year_not_named"), column: grid.headers[first]!, value: grid.headers[first]! };
  }
  const sample = distinctTexts(rows.slice(grid.at + 1), () => true);
  const cells = new Set(grid.cells.flatMap((index) => [...sample(index)]));
  const besideTitles = [...titles, grid.headers[grid.down]!];
  const measure =
    grid.across === "visits"
      ? { kind: "trims" as const, column: "date" }
      : measureOfCells([...cells], besideTitles, answered, lesionWords(context.settings.lesions));
  if ("reason" in measure) return { reason: measure.reason, column: null, value: [...cells][0] ?? null };
  const { kind } = measure;
  const named = new Map<number, Column>([
    [grid.down, columnOf(kind, grid.across === "animals" ? "date" : "animal")],
    ...grid.beside.flatMap(({ index, column }) => besideColumn(kind, index, column)),
    ...grid.cells.map((index) => [index, columnOf(kind, measure.column)] as const),
  ]);
  const settled = settleColumns(
    table,
    [...named].map(([index, column]) => ({
      index,
      header: grid.headers[index] ?? "",
      column,
      unit: null,
      cellsAlone: false,
    })),
    { sample: (index) => (grid.cells.includes(index) ? cells : sample(index)), all: () => {} },
    titles,
    context.settings,
  );
  if ("reason" in settled) return settled;
  const scale = kind === "gaits" ? (context.settings.gait_scale ?? null) : null;
  if (kind === "gaits" && scale === null) {
    return { reason: code("scale_not_known"), column: null, value: [...cells][0] ?? null };
  }
  const columns = grid.headers.map((header, index): ColumnUnderstanding => {
    const column = named.get(index);
    const isCell = grid.cells.includes(index);
    const found = settled.get(index);
    return {
      index,
      header,
      meaning: column === undefined ? null : { kind, column: column.name, foot: null, claw: null },
      unit: isCell && scale !== null ? scale : (found?.unit ?? null),
      unitFrom: isCell && scale !== null ? "settings" : (found?.unitFrom ?? null),
      dayOrder: isCell && grid.across === "dates" ? grid.dayOrder : (found?.dayOrder ?? null),
      decimalMark: found?.decimalMark ?? null,
      sample: [...sample(index)][0] ?? "",
      sureness: column === undefined ? null : isCell ? "values" : "word",
      ...(isCell && grid.dayTexts[index] !== header ? { dayText: grid.dayTexts[index]! } : {}),
    };
  });
  return { layout: "grid", kinds: [kind], headerRow: rows[grid.at]!.rowNo, columns, animal: null };
}

/** Whether dates that were given one year do not follow each other: a year turns among them. */
function yearTurns({ cells, dayTexts, headers, dayOrder }: FoundGrid): boolean {
  if (cells.every((index) => dayTexts[index] === headers[index])) return false;
  const days = cells
    .map((index) => readDay(dayTexts[index]!, dayOrder))
    .flatMap((day) => (isRefused(day) ? [] : [day.value]));
  return days.some((day, i) => i > 0 && day < days[i - 1]!);
}

function besideColumn(kind: KindId, index: number, name: string): (readonly [number, Column])[] {
  const columns: readonly Column[] = [...kinds[kind].columns, flock];
  const column = columns.find((one) => one.name === name);
  return column === undefined ? [] : [[index, column]];
}
