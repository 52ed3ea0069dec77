import type { DecimalMark } from "./read-number.ts";

/** What the numbers of one column show of its decimal mark. */
export interface MarkEvidence {
  points: number;
  commas: number;
  /** Cells such as `1,234` and `1.234`, which may be thousands or decimals. */
  doubtfulPoints: number;
  doubtfulCommas: number;
  sample: string | null;
}

export function noMarkEvidence(): MarkEvidence {
  return { points: 0, commas: 0, doubtfulPoints: 0, doubtfulCommas: 0, sample: null };
}

/** Adds what one cell shows. */
export function addMarkEvidence(evidence: MarkEvidence, text: string): void {
  const digits = /\d[\d.,]*\d|[.,]\d+/.exec(text)?.[0];
  if (digits === undefined || !/[.,]/.test(digits)) return;
  const both = /\..*,|,.*\./.test(digits);
  if (both) {
    if (digits.lastIndexOf(".") > digits.lastIndexOf(",")) evidence.points++;
    else evidence.commas++;
    return;
  }
  const mark = digits.includes(".") ? "." : ",";
  const groups = digits.split(mark);
  if (groups.length > 2) {
    if (mark === ".") evidence.commas++;
    else evidence.points++;
  } else if (groups[1]!.length === 3 && /^[1-9]\d{0,2}$/.test(groups[0]!)) {
    if (mark === ".") evidence.doubtfulPoints++;
    else evidence.doubtfulCommas++;
    evidence.sample ??= text;
  } else if (mark === ".") evidence.points++;
  else evidence.commas++;
}

export type SettledMark = { readonly mark: DecimalMark | null } | { readonly question: string };

/**
 * Settles a column's decimal mark: by its own cells, else by that of the sheet's other columns (`others`).
 * A lone point is decimal unless the sheet shows otherwise; a lone comma before three digits is asked about.
 * Cells that contradict each other leave no mark, and each doubtful one is set aside on its own.
 */
export function settleDecimalMark(evidence: MarkEvidence, others: DecimalMark | null): SettledMark {
  const { points, commas, doubtfulPoints, doubtfulCommas } = evidence;
  if (points > 0 && commas > 0) return { mark: null };
  if (points > 0) return { mark: "." };
  if (commas > 0) return { mark: "," };
  if (others !== null) return { mark: others };
  if (doubtfulCommas > 0) return { question: evidence.sample ?? "" };
  return { mark: doubtfulPoints > 0 ? "." : null };
}
