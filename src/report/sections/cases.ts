import type { CaseRow } from "../../findings/case.ts";
import { animalCell } from "../animal-anchor.ts";
import { dayInWords } from "../dates.ts";
import { whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { type DataTable, numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { sentence } from "../words/count.ts";
import { feetWords } from "../words/feet.ts";
import { lesionName } from "./lesions.ts";

/** Cases that began this season: how many, how soon treated, how many came back; the open ones on top. */
export function caseSection(input: SeasonPageInput): Section {
  const { language, findings } = input;
  const words = feetWords[language];
  const sum = findings.caseSummary.find((row) => row.group_kind === "flock");
  if (!sum) return { id: "cases", question: words.caseQuestion, heading: words.caseNone, rests: "" };
  const byFirstSign = [...findings.cases].sort(
    (a, b) => a.first_sign - b.first_sign || (a.animal < b.animal ? -1 : 1),
  );
  const open = byFirstSign.filter((one) => one.closed === null);
  const closed = byFirstSign.filter((one) => one.closed !== null);
  const heading = words.caseHeading(sum.cases, sum.open);
  return {
    id: "cases",
    question: words.caseQuestion,
    heading,
    text: [
      [
        words.waitSentence(
          sum.treated,
          sum.cases,
          whole(sum.median_days_to_treatment ?? 0, language),
          sum.animals,
        ),
        words.untreated(sum.waited_lame),
        words.repeatSentence(sum.repeats),
      ]
        .filter((said) => said !== "")
        .join(" "),
    ],
    rests: "",
    ...(open.length > 0 ? { table: tableOf(input, words.openTable, open) } : {}),
    ...(closed.length > 0
      ? {
          rest: {
            summary: words.otherCases(closed.length),
            table: tableOf(input, words.otherCases(closed.length), closed),
          },
        }
      : {}),
    answer: { sentence: sentence(heading), strength: 45 },
  };
}

function tableOf(input: SeasonPageInput, caption: string, cases: readonly CaseRow[]): DataTable {
  const { language } = input;
  const words = feetWords[language];
  return {
    caption,
    columns: [
      wordsColumn(columnName("animal", language)),
      wordsColumn(columnName("what", language)),
      wordsColumn(columnName("firstSign", language)),
      numberColumn(columnName("treatment", language)),
      wordsColumn(columnName("closed", language)),
    ],
    rows: cases.map((one) => [
      animalCell(input, one.animal),
      [
        words.caseKind[one.kind] ?? one.kind,
        ...(one.lesions?.split(", ").map((lesion) => lesionName(lesion, language)) ?? []),
        ...(one.severity === null ? [] : [one.severity]),
      ].join(", "),
      dayInWords(one.first_sign, language),
      one.days_to_treatment === null ? "" : whole(one.days_to_treatment, language),
      one.closed === null ? words.stillOpen : dayInWords(one.closed, language),
    ]),
  };
}
