import { isoDay, parseIsoDay } from "../records/days.ts";
import type { KindId } from "../records/kinds.ts";
import type { SheetRow, Sheets } from "./sheet-row.ts";

const kindsWithTags: readonly KindId[] = ["trims", "gaits", "lesions", "treatments"];

/**
 * Lets animals have worn another tag before a day: their earlier records carry it, and the tags sheet says who
 * wore it until when. `wore` gives the old tag by the present one.
 */
export function retag(sheets: Sheets, wore: Readonly<Record<string, string>>, newTagFrom: string): Sheets {
  const worn = (row: SheetRow): SheetRow => {
    const old = wore[String(row.animal)];
    return old !== undefined && String(row.date) < newTagFrom ? { ...row, animal: old } : row;
  };
  const changed = Object.fromEntries(kindsWithTags.map((kind) => [kind, sheets[kind].map(worn)]));
  const from = parseIsoDay(newTagFrom);
  if (from === null) throw new RangeError(`not a date: ${newTagFrom}`);
  const tags = Object.entries(wore).map(([animal, tag]) => ({ animal, tag, from: null, to: isoDay(from) }));
  return { ...sheets, ...changed, tags: [...sheets.tags, ...tags] };
}
