import type { OpenBook } from "../book/open-book.ts";
import { element } from "../look/element.ts";

const schemas: Readonly<Record<string, string>> = {
  results: "What was worked out",
  herd: "What the sheets said",
  exposure: "Where each animal stood, and what its pen ate and stood on",
  intake: "The rows as they came, and what was set aside",
};

/** Every table of the book with its columns and what they mean; a name is put into the question by a click. */
export async function dataDictionary(book: OpenBook, insert: (name: string) => void): Promise<HTMLElement> {
  const meanings = await book.meanings();
  const { rows } = await book.ask(
    `SELECT schema_name AS "schema", table_name AS "table", column_name AS "column", data_type AS type
FROM duckdb_columns() WHERE NOT internal AND schema_name IN ('results', 'herd', 'exposure', 'intake') AND table_name NOT LIKE 'staged%'
ORDER BY schema_name, table_name, column_index`,
  );
  const named = (name: string, says: string): HTMLElement => {
    const button = element("button", { type: "button", title: `Put ${name} into the question` }, says);
    button.addEventListener("click", () => insert(name));
    return button;
  };
  const table = (full: string, columns: typeof rows): HTMLElement =>
    element(
      "details",
      {},
      element("summary", {}, full),
      meanings[full] === undefined ? null : element("p", { className: "quiet" }, meanings[full]),
      element(
        "dl",
        {},
        element("dt", {}, named(full, full)),
        ...columns.flatMap(({ column, type }) => [
          element("dt", {}, named(String(column), String(column))),
          element(
            "dd",
            {},
            [meanings[`${full}.${column}`], String(type).toLowerCase()].filter(Boolean).join("; "),
          ),
        ]),
      ),
    );
  const tables = new Map<string, (typeof rows)[number][]>();
  for (const row of rows) {
    const full = `${row.schema}.${row.table}`;
    tables.set(full, [...(tables.get(full) ?? []), row]);
  }
  return element(
    "aside",
    { className: "dictionary", tabIndex: 0, attributes: { "aria-label": "What the book holds" } },
    element("h2", {}, "What the book holds"),
    ...Object.entries(schemas).flatMap(([schema, says]) => [
      element("h3", {}, says),
      ...[...tables]
        .filter(([full]) => full.startsWith(`${schema}.`))
        .map(([full, columns]) => table(full, columns)),
    ]),
  );
}
