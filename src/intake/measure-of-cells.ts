import { code } from "../records/codes.ts";
import type { KindId } from "../records/kinds.ts";
import { speaksOfHooves } from "./choose-kind.ts";
import { fold } from "./fold.ts";
import { unitNamed } from "./header-unit.ts";
import { type LesionWords, meaningOf } from "./lesion-words.ts";
import { readFlag } from "./read-flag.ts";
import { readNumber } from "./read-number.ts";
import { valueAndRemark } from "./value-and-remark.ts";

export interface CellsMeasure {
  readonly kind: KindId;
  readonly column: string;
}

/**
 * What cells measure that stand under a date, a tag or a foot alone: marks are trims, lengths are toe or
 * overhang, words are findings or remarks, small whole numbers are scores. Titles say which; where neither
 * they nor `[kinds]` tell, it is asked.
 */
export function measureOfCells(
  texts: readonly string[],
  titles: readonly string[],
  answered: KindId | null,
  words: LesionWords,
): CellsMeasure | { readonly reason: string } {
  const seen = lookAt(texts, words);
  const says = titleWords(titles);
  const hooves = answered === "trims" || titles.some(speaksOfHooves);
  if (answered === "gaits" || (answered === null && says.gait && seen.numbers.length > 0)) {
    return { kind: "gaits", column: "gait" };
  }
  if (answered === "lesions" || (answered === null && seen.lesions > HALF * texts.length)) {
    return { kind: "lesions", column: "lesion" };
  }
  if (seen.numbers.length > HALF * texts.length && !(seen.zeroOrOne && !says.length && !says.overgrowth)) {
    if (says.overgrowth && seen.scores) return { kind: "trims", column: "overgrowth" };
    if (says.overhang) return { kind: "trims", column: "overhang_before_mm" };
    if (says.length) return { kind: "trims", column: "toe_before_mm" };
    if (seen.scores && !seen.lengths) {
      return answered === "trims"
        ? { kind: "trims", column: "overgrowth" }
        : { reason: code("kind_not_sure", "trims, gaits") };
    }
    return toeOrOverhang(seen.numbers) ?? { reason: code("kind_not_sure", "trims") };
  }
  if (!hooves) return { reason: code("kind_not_sure", "trims") };
  return { kind: "trims", column: seen.marks > 0 ? "trimmed" : "note" };
}

const HALF = 0.5;

interface SeenCells {
  readonly numbers: readonly number[];
  /** Every number is whole and small enough for a score. */
  readonly scores: boolean;
  /** Some number carries a unit of length or is a fraction. */
  readonly lengths: boolean;
  readonly zeroOrOne: boolean;
  readonly marks: number;
  readonly lesions: number;
}

function lookAt(texts: readonly string[], words: LesionWords): SeenCells {
  const numbers: number[] = [];
  let lengths = false;
  let marks = 0;
  let lesions = 0;
  for (const text of texts) {
    const number = readNumber(text, null);
    if (!("trouble" in number)) {
      const { value, unit, fraction } = number.value;
      const factor = { mm: 1, cm: 10, in: MILLIMETRES_AN_INCH }[unitNamed("length", unit) ?? ""];
      if (factor !== undefined || fraction) lengths = true;
      numbers.push(value * (factor ?? (fraction ? MILLIMETRES_AN_INCH : 1)));
    }
    if (!("trouble" in readFlag(valueAndRemark(text)?.value ?? text))) marks++;
    else if (meaningOf(fold(text).split(" "), words).says === "found") lesions++;
  }
  return {
    numbers,
    scores: numbers.every((value) => Number.isInteger(value) && value >= 0 && value <= 6),
    lengths,
    zeroOrOne: numbers.every((value) => value === 0 || value === 1),
    marks,
    lesions,
  };
}

const MILLIMETRES_AN_INCH = 25.4;

function titleWords(
  titles: readonly string[],
): Readonly<Record<"gait" | "overgrowth" | "overhang" | "length", boolean>> {
  const words = ` ${titles.map(fold).join(" ")} `;
  const has = (pattern: RegExp): boolean => pattern.test(words);
  return {
    gait: has(/ (gait|lame|lameness|locomotion|limp|cojera|marcha|locomocion) /),
    overgrowth: has(/ (overgrowth|overgrown|sobrecrecimiento) /),
    overhang: has(/ (overhang|saliente) /),
    length: has(/ (toe|toes|length|lengths|largo|largos|punta|longitud) /),
  };
}

/** Toes stand 25 mm and more, overhangs seldom reach 15 (project defaults); between them nothing tells. */
function toeOrOverhang(millimetres: readonly number[]): CellsMeasure | null {
  const sorted = [...millimetres].sort((a, b) => a - b);
  const median = sorted[Math.floor(sorted.length / 2)]!;
  if (median >= 25) return { kind: "trims", column: "toe_before_mm" };
  return median > 6 && median < 15 ? { kind: "trims", column: "overhang_before_mm" } : null;
}
