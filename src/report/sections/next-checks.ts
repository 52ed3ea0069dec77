import type { NextCheckRow } from "../../findings/next-check.ts";
import { wordCodes } from "../../records/codes.ts";
import { dayInWords } from "../dates.ts";
import { length } from "../length-units.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import type { DataTable, Section } from "../section.ts";
import { findingWords } from "../words/findings.ts";
import { pageWords } from "../words/page.ts";

/** Whom to look at next: the urgent and the due, in looking order. */
export function nextCheckSection(input: SeasonPageInput): Section {
  const { language, findings } = input;
  const words = findingWords[language];
  const now = findings.nextCheck.filter((row) => row.urgency === "now");
  const due = findings.nextCheck.filter((row) => row.urgency === "due" || row.urgency === "staged");
  return {
    id: "next",
    question: words.checkQuestion,
    heading: words.checkHeading(now.length, due.length),
    rests: "",
    ...(now.length + due.length > 0 ? { table: nextCheckTable(input, [...now, ...due]) } : {}),
    answer: {
      sentence: words.checkSentence(now.length, due.length, findings.nextCheck.length),
      strength: 100,
    },
  };
}

export function nextCheckTable(
  { language, flock }: Pick<SeasonPageInput, "language" | "flock">,
  rows: readonly NextCheckRow[],
): DataTable {
  const { columns, checkQuestion, urgency, groupValue } = findingWords[language];
  return {
    caption: checkQuestion,
    columns: [
      { name: columns.animal, numeric: false },
      { name: columns.pen, numeric: false },
      { name: columns.reason, numeric: false },
      { name: columns.checkBy, numeric: false },
      { name: columns.expected, numeric: false },
      { name: columns.note, numeric: false },
    ],
    rows: [...rows]
      .sort((a, b) => a.look_order - b.look_order)
      .map((row) => [
        row.animal,
        row.pen ?? pageWords[language].unknownPen,
        `${urgency[row.urgency] ?? row.urgency}: ${wordCodes(row.reason, language)}`,
        dayInWords(row.check_by, language),
        row.expected_overhang_mm === null
          ? ""
          : `${length(row.expected_overhang_mm, flock.unit, language)}${row.worst_foot ? `, ${groupValue("foot", row.worst_foot)} ${groupValue("claw", row.worst_claw ?? "")}` : ""}`.trim(),
        wordCodes(row.caution, language),
      ]),
  };
}
