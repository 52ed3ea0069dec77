import type { TextTable } from "../sheets/text-table.ts";
import { fileStem } from "./answered-kind.ts";
import { fold } from "./fold.ts";
import type { NumberedRow } from "./sheet-top.ts";
import type { UnderstandContext } from "./understand-context.ts";

/**
 * The animal that a whole worksheet is about: a tag above the header or the worksheet's name, if it is a
 * known tag; with `sheet_is_animal` also an unknown one. Null when neither names an animal.
 */
export function animalOfSheet(
  table: TextTable,
  titleRows: readonly NumberedRow[],
  context: UnderstandContext,
): string | null {
  const labelled: string[] = [];
  const named: string[] = [];
  for (const { cells } of titleRows) {
    for (const [i, cell] of cells.entries()) {
      if (cell.trim() === "") continue;
      const match = label.exec(cell.trim());
      if (match?.[1]) labelled.push(match[1].trim());
      else if (match) labelled.push((cells[i + 1] ?? "").trim());
      named.push(cell.trim());
    }
  }
  const sheet = (table.worksheet ?? fileStem(table.file)).trim();
  const known = context.knownAnimals;
  if (known !== null) {
    const found = [...labelled, ...named, sheet].find((text) => known.has(text));
    if (found !== undefined) return found;
  }
  if (!context.settings.sheet_is_animal) return null;
  const stated = labelled.find((text) => text !== "");
  if (stated !== undefined) return stated;
  return context.worksheetsInFile === 1 && unnamed.test(fold(sheet)) ? null : sheet;
}

/** `Tag: 123`, `Goat 123`, `Arete 123`; the tag may also stand in the next cell. */
const label =
  /^(?:ear ?tag|tag|animal|goat|doe|buck|animal id|goat id|id|arete|crotal|cabra|chapeta)\b\s*(?:no\.?|#|nr\.?)?\s*[:#=.-]?\s*(.*)$/i;

/** Names that spreadsheets give to a sheet nobody named. */
const unnamed = /^(?:sheet|hoja|tabla|table)\s?\d*$/;
