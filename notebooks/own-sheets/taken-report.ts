import { element } from "../look/element.ts";
import { rowTable } from "../look/row-table.ts";
import type { SheetsTaken } from "../worker/book-service.ts";

/** What was read, what could not be taken, why, and what to do. */
export function takenReport(taken: SheetsTaken): HTMLElement {
  const { read, setAside, repeats } = taken;
  const unread = taken.sheets.filter(({ kind }) => kind === null);
  const repeated =
    repeats === 0 ? "" : ` ${counted(repeats, "exact repeat was", "exact repeats were")} counted once.`;
  return element(
    "section",
    { attributes: { "aria-label": "What was read" } },
    element(
      "h2",
      {},
      setAside === 0
        ? `All ${counted(read, "record was", "records were")} taken`
        : `${counted(setAside, "record", "records")} of ${read} could not be taken`,
    ),
    element(
      "p",
      {},
      `${counted(taken.taken, "record", "records")} from ${counted(taken.sheets.length - unread.length, "sheet", "sheets")}.${repeated}`,
    ),
    taken.reasons.length === 0 ? null : element("h3", {}, "Set aside, and what to do"),
    taken.reasons.length === 0
      ? null
      : rowTable(
          "Set aside, and what to do",
          [
            { name: "How many", number: true },
            { name: "Why" },
            { name: "What to do" },
            { name: "For example" },
          ],
          taken.reasons.map(({ count, says, advice, example }) => [String(count), says, advice, example]),
        ),
    element("h3", {}, "The sheets"),
    rowTable(
      "The sheets",
      [{ name: "Sheet" }, { name: "Read as" }, { name: "Rows", number: true }],
      taken.sheets.map(({ name, kind, rows, trouble }) => [
        name,
        kind ?? `Not read. ${trouble}`,
        String(rows),
      ]),
    ),
  );
}

function counted(count: number, one: string, many: string): string {
  return `${count} ${count === 1 ? one : many}`;
}
