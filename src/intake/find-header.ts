import {
  type ChosenKinds,
  chooseKinds,
  isQuestion,
  type KindHints,
  type KindQuestion,
} from "./choose-kind.ts";
import { fold } from "./fold.ts";
import { footInWords } from "./foot-in-words.ts";
import type { NumberedRow } from "./sheet-top.ts";

/** The header of a sheet and what its columns are. */
export interface FoundHeader {
  /** Position among the rows looked at. */
  readonly at: number;
  /** One text a column; where the header takes two rows, both joined. */
  readonly headers: readonly string[];
  readonly kinds: ChosenKinds;
}

/** Rows from the top among which the header is sought: title lines stand above it. */
const ROWS_LOOKED_AT = 30;

/**
 * Finds the row that explains most columns. A row of feet above a row of claws or measures is read together
 * with it. Without such a row, the question that comes nearest.
 */
export function findHeader(
  rows: readonly NumberedRow[],
  own: ReadonlyMap<string, string>,
  hintsAbove: (at: number) => KindHints,
): FoundHeader | KindQuestion {
  let best: FoundHeader | null = null;
  let question: { readonly asked: KindQuestion; readonly strength: number } | null = null;
  for (let at = 0; at < Math.min(ROWS_LOOKED_AT, rows.length); at++) {
    if (best !== null && explainsAll(best)) break;
    if (at > 0 && mostlyNumbers(rows[at]!.cells)) continue;
    const above = at === 0 ? null : joinedHeaders(rows[at - 1]!.cells, rows[at]!.cells);
    for (const headers of above === null ? [rows[at]!.cells] : [rows[at]!.cells, above]) {
      const kinds = chooseKinds(headers, own, hintsAbove(at));
      if (isQuestion(kinds)) {
        const strength = questionStrength(kinds);
        if (question === null || strength > question.strength) question = { asked: kinds, strength };
      } else if (best === null || kinds.explained > best.kinds.explained) {
        best = { at, headers, kinds };
      }
    }
  }
  return best ?? question!.asked;
}

/** Whether every header is understood, so that no other row can do better. */
function explainsAll({ headers, kinds }: FoundHeader): boolean {
  return kinds.explained > 1 && kinds.explained === headers.filter((header) => header.trim() !== "").length;
}

/** Rows of numbers and dates are records; a header holds words. */
function mostlyNumbers(cells: readonly string[]): boolean {
  const filled = cells.filter((cell) => cell.trim() !== "");
  return filled.filter((cell) => /^\s*[-+.]?\d/.test(cell)).length * 2 > filled.length;
}

/** The question of a row that came nearest to being understood is the one to ask. */
function questionStrength({ reason }: KindQuestion): number {
  if (reason.startsWith("kind_not_sure")) return 2;
  return reason.startsWith("missing_column") ? 1 : 0;
}

/** Two header rows as one, each upper cell holding until the next; null when the upper names no foot or claw. */
function joinedHeaders(upper: readonly string[], lower: readonly string[]): readonly string[] | null {
  const places = upper.filter((cell) => {
    const { feet, claw } = footInWords(fold(cell));
    return feet.length === 1 || claw !== null;
  });
  if (places.length < 2) return null;
  let holds = "";
  return Array.from({ length: Math.max(upper.length, lower.length) }, (_, i) => {
    const over = (upper[i] ?? "").trim();
    const under = (lower[i] ?? "").trim();
    if (over !== "") holds = over;
    return under === "" ? over : `${holds} ${under}`.trim();
  });
}
