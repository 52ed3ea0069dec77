import type { KindId } from "../records/kinds.ts";
import { fold } from "./fold.ts";
import { footInWords } from "./foot-in-words.ts";
import { lengthColumns } from "./kind-traits.ts";
import { anyFilled } from "./lesion-records.ts";
import type { PlannedCell } from "./planned-cell.ts";
import { remembering } from "./remembering.ts";

/** Kinds whose records each speak of one foot, so that a row naming several is as many records. */
const kindsByFoot: ReadonlySet<KindId> = new Set(["trims", "gaits", "lesions", "treatments"]);

/**
 * The rows that a row stands for: one for each foot where its foot cell names several (`LF, RF`, `both hinds`,
 * `all four`), else the row itself. Not where the row gives a length: one length is of one foot, and which is
 * not told. A cell that its reader takes as it is, such as all four feet for the whole animal, stays as it is.
 */
export function rowsByFoot(
  kind: KindId,
  cells: readonly PlannedCell[],
): (row: readonly string[]) => readonly (readonly string[])[] {
  const foot = cells.find(({ column, index }) => column.type === "foot" && index >= 0);
  if (foot === undefined || !kindsByFoot.has(kind)) return (row) => [row];
  const lengths = cells.filter(({ column }) => lengthColumns.includes(column.name)).map(({ index }) => index);
  const places = remembering((text) =>
    text === "" || !("trouble" in foot.read(text)) ? [] : placesIn(text),
  );
  return (row) => {
    const named = places(row[foot.index] ?? "");
    return named.length < 2 || anyFilled(row, lengths)
      ? [row]
      : named.map((place) => row.map((cell, i) => (i === foot.index ? place : cell)));
  };
}

/** Each foot of a cell that names several and nothing else, with the claw that it names; else none. */
function placesIn(text: string): readonly string[] {
  const { feet, claw, rest } = footInWords(fold(text));
  return rest.length > 0 ? [] : feet.map((foot) => (claw === null ? foot : `${foot} ${claw}`));
}
