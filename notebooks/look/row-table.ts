import { element } from "./element.ts";

export interface TableColumnLook {
  readonly name: string;
  /** Numbers stand to the right. */
  readonly number?: boolean;
}

/** Letters of a text that is not broken over lines. */
const SHORT = 24;

/** A table that scrolls by itself when it is wider than the page, reachable by keyboard. */
export function rowTable(
  caption: string,
  columns: readonly TableColumnLook[],
  rows: readonly (readonly (string | null)[])[],
): HTMLElement {
  const side = (column: number): string => (columns[column]?.number ? "n" : "");
  const look = (cell: string | null, column: number): string =>
    side(column) || ((cell ?? "").length <= SHORT ? "s" : "");
  return element(
    "div",
    { className: "table", tabIndex: 0, attributes: { role: "region", "aria-label": caption } },
    element(
      "table",
      {},
      element("caption", { className: "heard" }, caption),
      element(
        "thead",
        {},
        element(
          "tr",
          {},
          ...columns.map(({ name }, i) => element("th", { scope: "col", className: side(i) }, name)),
        ),
      ),
      element(
        "tbody",
        {},
        ...rows.map((row) =>
          element("tr", {}, ...row.map((cell, i) => element("td", { className: look(cell, i) }, cell ?? ""))),
        ),
      ),
    ),
  );
}
