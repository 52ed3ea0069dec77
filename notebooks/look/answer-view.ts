import type { ColumnTable } from "arquero";
import { writeDelimited } from "../../src/sheets/write-delimited.ts";
import { tableRows } from "../book/table-rows.ts";
import { element } from "./element.ts";
import { rowTable } from "./row-table.ts";
import { saveFile } from "./save-file.ts";

/** Rows that are put on the page; the file has all of them. */
const SHOWN = 500;

/** The rows of an answer as a table, with a button that gives all of them as CSV. */
export function answerView(answer: ColumnTable, name: string): HTMLElement {
  const columns = answer.columnNames();
  const cells = (table: ColumnTable): (string | null)[][] =>
    tableRows(table).map((row) => columns.map((column) => textOf(row[column])));
  const shown = answer.slice(0, SHOWN);
  const save = element("button", { type: "button" }, "Save as CSV");
  save.addEventListener("click", () =>
    saveFile(
      `${name}.csv`,
      writeDelimited(
        [columns, ...tableRows(answer).map((row) => columns.map((column) => plainCell(row[column] ?? null)))],
        { byteOrderMark: true },
      ),
      "text/csv;charset=utf-8",
    ),
  );
  const rows = answer.numRows();
  return element(
    "div",
    {},
    rowTable(
      name,
      columns.map((column) => ({
        name: column,
        number: typeof answer.array(column).find((value) => value !== null) === "number",
      })),
      cells(shown).map((row) => row.map(shortened)),
    ),
    element(
      "p",
      { className: "quiet" },
      rows > SHOWN
        ? `The first ${SHOWN} of ${rows} rows; the file has all.`
        : `${rows} ${rows === 1 ? "row" : "rows"}.`,
    ),
    element("div", { className: "buttons" }, save),
  );
}

/** Numbers stay numbers, so that a minus is not taken for a formula. */
function plainCell(value: string | number | boolean | null): string | number | null {
  return typeof value === "boolean" ? String(value) : value;
}

function textOf(value: unknown): string | null {
  return value === null || value === undefined ? null : String(value);
}

/** A long fraction in five digits; the file keeps them all. */
function shortened(text: string | null): string | null {
  return text !== null && /^-?\d+\.\d{5,}(e-?\d+)?$/.test(text)
    ? String(Number(Number(text).toPrecision(5)))
    : text;
}
