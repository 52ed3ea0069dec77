import { isBlank } from "./cell-read.ts";
import { fold } from "./fold.ts";

/**
 * Tells rows that hold a record from those that only pass by: the header repeated on every printed page, and
 * totals or means below. `headers` are the header cells, `keys` the columns that a total leaves blank.
 */
export function passingRows(
  headers: readonly string[],
  keys: readonly number[],
): (cells: readonly string[]) => boolean {
  const first = headers.findIndex((header) => header.trim() !== "");
  return (cells) => {
    if (first >= 0 && (cells[first] ?? "") === headers[first] && repeatsHeader(cells, headers)) return true;
    return isTotal(cells, keys);
  };
}

function repeatsHeader(cells: readonly string[], headers: readonly string[]): boolean {
  return cells.every((cell, i) => cell.trim() === (headers[i] ?? "").trim());
}

const totals =
  /^(?:grand |sub ?)?(?:total|totals|sum|mean|average|avg|median|count|subtotal|totales|suma|promedio|media|n)$/;

function isTotal(cells: readonly string[], keys: readonly number[]): boolean {
  const at = cells.findIndex((cell) => cell.trim() !== "");
  if (at < 0) return true;
  const lead = cells[at]!.trim();
  const letter = lead.charCodeAt(0) | 32;
  // t, s, m, a, c, g, p, n lead every such word; most rows are told apart here
  if (letter < 97 || letter > 116) return false;
  // no such word has a digit, as most tags have
  const word = lead.replace(/[:=(].*$/s, "");
  return (
    !/\d/.test(word) &&
    totals.test(fold(word)) &&
    keys.every((key) => key === at || isBlank(cells[key] ?? ""))
  );
}
