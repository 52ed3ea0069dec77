/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import type { Cell, DataTable } from "./section.ts";

const classes = { words: undefined, short: "s", number: "n" } as const;

/**
 * A table that scrolls within itself where it is wider than the page. `titled`: what stands above it says
 * what it holds, so that its caption is for screen readers alone.
 */
export function Table({ table: whole, titled }: { table: DataTable; titled?: boolean }): VNode {
  const table = withoutEmptyColumns(whole);
  const classOf = (column: number): string | undefined => classes[table.columns[column]!.kind];
  return (
    <section
      class={table.rows.length > FEW_ROWS ? "table" : "table few"}
      // biome-ignore lint/a11y/noNoninteractiveTabindex: a wide table scrolls, and a keyboard must reach it
      tabIndex={0}
      aria-label={table.caption}
    >
      <table class={isWordy(table) ? "stack" : undefined}>
        <caption class={titled ? "heard" : undefined}>{table.caption}</caption>
        <thead>
          <tr>
            {table.columns.map((column, c) => (
              <th key={c} scope="col" class={classOf(c)}>
                {column.name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {table.rows.map((row, r) => (
            <tr key={r}>
              {row.map((cell, c) =>
                c === 0 ? (
                  <th key={c} scope="row" class={isRepeat(table, r) ? "again" : undefined}>
                    <CellContent cell={cell} />
                  </th>
                ) : (
                  <td key={c} class={classOf(c)} data-name={table.columns[c]!.name}>
                    <CellContent cell={cell} />
                  </td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** Whether a row is of the same thing as the one above, so that its name need not be seen again. */
function isRepeat({ rows }: DataTable, r: number): boolean {
  const name = rows[r]![0];
  return typeof name === "string" && name !== "" && rows[r - 1]?.[0] === name;
}

/** Rows up to which a printed table stays on one page. */
const FEW_ROWS = 16;

/** The table without columns of words that no row fills. */
function withoutEmptyColumns(table: DataTable): DataTable {
  const isFilled = table.columns.map(
    (column, c) => column.kind !== "words" || c === 0 || table.rows.some((row) => row[c] !== ""),
  );
  return {
    ...table,
    columns: table.columns.filter((_, c) => isFilled[c]),
    rows: table.rows.map((row) => row.filter((_, c) => isFilled[c])),
  };
}

/** Too many words for a phone's width: there each cell stands below the other. */
function isWordy({ columns }: DataTable): boolean {
  return columns.length > 3 && columns.slice(1).some((column) => column.kind === "words");
}

function CellContent({ cell }: { cell: Cell }): VNode {
  if (typeof cell === "string") return <>{cell}</>;
  if ("svg" in cell) return <span dangerouslySetInnerHTML={{ __html: cell.svg }} />;
  const links = "links" in cell ? cell.links : [cell];
  return (
    <>
      {links.map(({ href, text }, i) => (
        <>
          {i > 0 ? " · " : ""}
          <a href={href}>{text}</a>
        </>
      ))}
    </>
  );
}
