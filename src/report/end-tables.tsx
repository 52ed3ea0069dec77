/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import type { Language } from "../records/language.ts";
import { Table } from "./data-table.tsx";
import { type Cell, chartsOf, type DataTable, type Section } from "./section.ts";
import { pageWords } from "./words/page.ts";

/** A table that stands at the end of a page, with the number by which its section refers to it. */
export interface EndTable {
  readonly number: number;
  /** Where it is on the page. */
  readonly id: string;
  readonly title: string;
  readonly table: DataTable;
}

/** The tables behind pictures and those that few will want, section by section, numbered in the order of the page. */
export function endTablesOf(sections: readonly Section[]): ReadonlyMap<string, readonly EndTable[]> {
  const moved = new Map<string, readonly EndTable[]>();
  let number = 0;
  for (const section of sections) {
    const own = [
      ...(section.table && chartsOf(section).length > 0
        ? [{ title: section.table.caption, table: section.table }]
        : []),
      ...(section.rest ? [{ title: section.rest.summary, table: section.rest.table }] : []),
    ];
    if (own.length === 0) continue;
    moved.set(
      section.id,
      own.map((one) => {
        number += 1;
        return { ...one, number, id: `table-${number}` };
      }),
    );
  }
  return moved;
}

/** The tables of a page at its end; in print narrow ones stand in two columns. */
export function EndTables({
  tables,
  language,
}: {
  readonly tables: readonly EndTable[];
  readonly language: Language;
}): VNode | null {
  const words = pageWords[language];
  if (tables.length === 0) return null;
  return (
    <section id="tables" aria-labelledby="tables-heading">
      <h2 id="tables-heading">{words.tables}</h2>
      <div class="end-tables">
        {tables.map(({ number, id, title, table }) => (
          <div key={id} id={id} class={isNarrow(table) ? undefined : "wide"}>
            <h3>
              {words.tableNumber(number)}. {title}
            </h3>
            <Table table={table} titled />
          </div>
        ))}
      </div>
    </section>
  );
}

/** Whether half a sheet of paper holds the table: its longest cells beside each other, each with its margin. */
function isNarrow({ columns, rows }: DataTable): boolean {
  const widths = columns.map(({ name }, c) =>
    Math.max(...name.split(" ").map((word) => word.length), ...rows.map((row) => charactersOf(row[c] ?? ""))),
  );
  return widths.reduce((sum, width) => sum + width + MARGIN, 0) <= HALF_SHEET;
}

/** Characters of a printed table's type across half a sheet, and those that a cell's margins take. */
const HALF_SHEET = 60;
const MARGIN = 2;

function charactersOf(cell: Cell): number {
  if (typeof cell === "string") return cell.length;
  if ("svg" in cell) return HALF_SHEET;
  const links = "links" in cell ? cell.links : [cell];
  return links.reduce((sum, { text }) => sum + text.length + MARGIN, 0);
}
