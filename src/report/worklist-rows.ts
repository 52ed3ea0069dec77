import type { NextCheckRow } from "../findings/next-check.ts";
import { wordCodes } from "../records/codes.ts";
import { isoDay } from "../records/days.ts";
import type { SeasonPageInput } from "./season-page-input.ts";
import { feetWords } from "./words/feet.ts";

/**
 * The work list as rows to fill in: what is known first, then blank columns under the names of the template
 * sheets, which the intake reads back, taking only rows with something written.
 */
export function worklistRows(
  { language, today, flock }: SeasonPageInput,
  checks: readonly NextCheckRow[],
): readonly (readonly (string | number | null)[])[] {
  const head = [
    "flock",
    "animal",
    "pen",
    "look_order",
    "trim_order",
    "urgency",
    "check_from",
    "check_by",
    "why",
    "caution",
    "date",
    "gait",
    "lesion",
    "foot",
    "overgrowth",
    "trimmed",
    "note",
  ];
  const rows = [...checks]
    .sort((a, b) => a.look_order - b.look_order)
    .map((row) => [
      flock.id,
      row.animal,
      row.pen,
      row.look_order,
      row.trim_order,
      feetWords[language].urgency[row.urgency] ?? row.urgency,
      isoDay(row.check_from),
      isoDay(row.check_by),
      wordCodes(row.reason, language),
      wordCodes(row.caution, language),
      isoDay(Math.max(today, row.check_from)),
      null,
      null,
      null,
      null,
      null,
      null,
    ]);
  return [head, ...rows];
}
