import type { NextCheckRow } from "../../findings/next-check.ts";
import { wordCodes } from "../../records/codes.ts";
import { animalCell } from "../animal-anchor.ts";
import { dayShort } from "../dates.ts";
import { length } from "../length-units.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { type DataTable, type Section, shortColumn, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { capital, sentence } from "../words/count.ts";
import { feetWords } from "../words/feet.ts";
import { groupWords } from "../words/groups.ts";

/** Whom to look at first: the urgent and the due, in looking order. A season that is past has no such list. */
export function nextCheckSection(input: SeasonPageInput): Section | null {
  const { language, findings, season } = input;
  const words = feetWords[language];
  if (!season.isCurrent) return null;
  const now = findings.nextCheck.filter((row) => row.urgency === "now");
  const due = findings.nextCheck.filter((row) => row.urgency === "due" || row.urgency === "staged");
  const waiting = [...now, ...due];
  return {
    id: "next",
    question: words.checkQuestion,
    heading: words.checkHeading(now.length, due.length),
    rests: "",
    ...(waiting.length > 0 ? { table: nextCheckTable(input, words.checkQuestion, waiting) } : {}),
    answer: {
      sentence: words.checkSentence(now.length, due.length, findings.nextCheck.length),
      strength: 100,
    },
  };
}

/** Goats badly overgrown at the last look, or between two stages of a trim. */
export function severeOvergrowthSection(input: SeasonPageInput): Section | null {
  const { language, findings, season } = input;
  const words = feetWords[language];
  if (!season.isCurrent) return null;
  const severe = findings.nextCheck.filter(
    (row) => row.urgency === "staged" || (row.reason ?? "").includes("severe_overgrowth"),
  );
  return {
    id: "severe",
    question: words.severeQuestion,
    heading: words.severeHeading(severe.length),
    rests: "",
    ...(severe.length > 0
      ? {
          table: nextCheckTable(input, words.severeQuestion, severe),
          answer: { sentence: sentence(words.severeHeading(severe.length)), strength: 20 },
        }
      : { text: [] }),
  };
}

function nextCheckTable(input: SeasonPageInput, caption: string, rows: readonly NextCheckRow[]): DataTable {
  const { language, flock } = input;
  const { label, unknownPen } = groupWords[language];
  return {
    caption,
    columns: [
      shortColumn(columnName("animal", language)),
      wordsColumn(columnName("pen", language)),
      wordsColumn(columnName("reason", language)),
      shortColumn(columnName("checkBy", language)),
      wordsColumn(columnName("expected", language)),
    ],
    rows: [...rows]
      .sort((a, b) => a.look_order - b.look_order)
      .map((row) => [
        animalCell(input, row.animal),
        row.pen ?? unknownPen,
        [
          `${capital(feetWords[language].urgency[row.urgency] ?? row.urgency)}: ${wordCodes(row.reason, language)}`,
          capital(wordCodes(row.caution, language)),
        ]
          .filter((said) => said !== "")
          .join(". "),
        dayShort(row.check_by, language),
        row.expected_overhang_mm === null
          ? ""
          : [
              length(row.expected_overhang_mm, flock.unit, language),
              row.worst_foot ? label("foot", row.worst_foot) : "",
              row.worst_claw ? label("claw", row.worst_claw) : "",
            ]
              .filter((said) => said !== "")
              .join(", "),
      ]),
  };
}
