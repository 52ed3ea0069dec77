import { element } from "./element.ts";

export interface TableColumnLook {
  readonly name: string;
  /** Numbers stand to the right. */
  readonly number?: boolean;
}

/** A table that scrolls by itself when it is wider than the page, reachable by keyboard. */
export function rowTable(
  caption: string,
  columns: readonly TableColumnLook[],
  rows: readonly (readonly (string | null)[])[],
): HTMLElement {
  const side = (column: number): string => (columns[column]?.number ? "n" : "");
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
          element("tr", {}, ...row.map((cell, i) => element("td", { className: side(i) }, cell ?? ""))),
        ),
      ),
    ),
  );
}
