import { code } from "../records/codes.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";

export type DecimalMark = "." | ",";

export interface NumberInWords {
  readonly value: number;
  /** What follows the number, trimmed, such as `mm` or `"`; empty when nothing does. */
  readonly unit: string;
  /** Whether it was written as a fraction, as inches are. */
  readonly fraction: boolean;
}

/**
 * Reads a number as sheets write it: decimal point or comma, thousands in groups of three, fractions
 * (`1 3/8`, `1-3/8"`, `½`), with or without words behind it. `mark` is the column's decimal mark; it settles
 * `1,234`, which without it is refused with `number_reads_both_ways`. Else `not_a_number`, as is
 * a number past what a double holds.
 */
export function readNumber(text: string, mark: DecimalMark | null): CellRead<NumberInWords> {
  const plain = text
    .trim()
    .replace(/[\u2212\u2013]/g, "-")
    .replace(/[\u00a0\u2007\u2009\u202f]/g, " ")
    .replace(/[\u00bc-\u00be\u2150-\u215e]/g, (one) => ` ${one.normalize("NFKD").replace("\u2044", "/")}`)
    .replace("\u2044", "/")
    .trim();
  const read = readFraction(plain) ?? readDecimal(plain, mark);
  return "trouble" in read || Number.isFinite(read.value.value) ? read : refused(code("not_a_number"));
}

function readFraction(text: string): CellRead<NumberInWords> | null {
  const match =
    /^([+-]?)(?:(\d+)(?:\s+|\s*-\s*|\s+and\s+|\s+y\s+))?(\d{1,2})\s?\/\s?(\d{1,2})(?![\d/])\s*(.*)$/s.exec(
      text,
    );
  if (match === null) return null;
  const [, sign, whole, top, bottom, unit] = match;
  const parts = Number(top) / Number(bottom);
  if (!denominators.has(Number(bottom)) || parts >= 1) return null;
  const value = Number(whole ?? 0) + parts;
  return taken({ value: sign === "-" ? -value : value, unit: unit!.trim(), fraction: true });
}

/** Thirds, tenths, and what rulers in inches are marked in. */
const denominators = new Set([2, 3, 4, 8, 10, 16, 32, 64]);

function readDecimal(text: string, mark: DecimalMark | null): CellRead<NumberInWords> {
  const power = /^[+-]?\d+(?:\.\d+)?e[+-]?\d{1,3}$/i.test(text);
  if (power) return taken({ value: Number(text), unit: "", fraction: false });
  const match = /^([+-]?)\s?((?:\d[\d.,'\u2019]*(?: \d{3}(?!\d)[\d.,]*)*|[.,]\d+))\s*(.*)$/s.exec(text);
  if (match === null) return refused(code("not_a_number"));
  const [, sign, digits, behind] = match;
  // a mark that nothing follows belongs to the sentence: `32.`
  const size = sizeOf(digits!.replace(/[.,]$/, ""), mark);
  if (typeof size === "string") return refused(size);
  if (/^[\d/]/.test(behind!)) return refused(code("not_a_number"));
  return taken({ value: sign === "-" ? -size : size, unit: behind!.trim(), fraction: false });
}

/** The value of digits and marks, or the code of why there is none. */
function sizeOf(digits: string, mark: DecimalMark | null): number | string {
  const spaced = digits.replace(/['\u2019]/g, " ");
  if (spaced.includes(" ") && !/^\d{1,3}(?: \d{3})+(?:[.,]\d+)?$/.test(spaced)) return code("not_a_number");
  const joined = spaced.replaceAll(" ", "");
  const points = joined.split(".").length - 1;
  const commas = joined.split(",").length - 1;
  if (points === 0 && commas === 0) return Number(joined);
  if (points > 0 && commas > 0) {
    const decimal = joined.lastIndexOf(".") > joined.lastIndexOf(",") ? "." : ",";
    return grouped(joined, decimal);
  }
  const used: DecimalMark = points > 0 ? "." : ",";
  if (points + commas > 1) return grouped(joined, used === "." ? "," : ".");
  const [before, after] = joined.split(used) as [string, string];
  const couldGroup = after.length === 3 && /^[1-9]\d{0,2}$/.test(before) && !spaced.includes(" ");
  if (!couldGroup || mark === used) return Number(`${before === "" ? "0" : before}.${after}`);
  if (mark !== null) return Number(before + after);
  return used === "." ? Number(joined) : code("number_reads_both_ways");
}

function grouped(digits: string, decimal: DecimalMark): number | string {
  const thousands = decimal === "." ? "," : ".";
  const [whole, part, ...more] = digits.split(decimal);
  const groups = whole!.split(thousands);
  const wellGrouped =
    more.length === 0 &&
    /^\d{1,3}$/.test(groups[0]!) &&
    groups.slice(1).every((group) => /^\d{3}$/.test(group)) &&
    !(part ?? "").includes(thousands);
  return wellGrouped ? Number(`${groups.join("")}.${part ?? "0"}`) : code("not_a_number");
}
