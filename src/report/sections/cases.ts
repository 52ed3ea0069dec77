import type { CaseRow } from "../../findings/case.ts";
import type { Language } from "../../records/language.ts";
import { animalCell } from "../animal-anchor.ts";
import { dayShort } from "../dates.ts";
import { whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { type DataTable, numberColumn, type Section, shortColumn, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { sentence } from "../words/count.ts";
import { feetWords } from "../words/feet.ts";
import { lesionName } from "./lesions.ts";

/** Cases that began this season: how many, how soon treated, how many came back; the open ones on top. */
export function caseSection(input: SeasonPageInput): Section {
  const { language, findings } = input;
  const words = feetWords[language];
  const sum = findings.caseSummary.find((row) => row.group_kind === "flock");
  if (!sum)
    return { id: "cases", question: words.caseQuestion, heading: words.caseNone, rests: "", text: [] };
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

/** `lame (gait 4 on 1-5); footrot, loose wall` */
function caseInWords({ kind, severity, lesions }: CaseRow, language: Language): string {
  const words = feetWords[language];
  const gait = /^(\S+) of (\S+)$/.exec(severity ?? "");
  const how = gait ? words.gait(gait[1]!, gait[2]!.replaceAll("-", NO_BREAK_HYPHEN)) : severity;
  const named = lesions?.split(", ").map((lesion) => lesionName(lesion, language)) ?? [];
  const found = named.length > 0 ? named.join(", ") : kind === "lame" ? null : words.someLesion;
  const isLame = kind.startsWith("lame");
  return [isLame ? words.lame : null, found]
    .filter((part) => part !== null)
    .map((part, i) => (i === 0 && how !== null ? `${part} (${how})` : part))
    .join("; ");
}

/** A scale such as 1-5 is never broken over two lines. */
const NO_BREAK_HYPHEN = "\u2011";

function tableOf(input: SeasonPageInput, caption: string, cases: readonly CaseRow[]): DataTable {
  const { language } = input;
  const words = feetWords[language];
  return {
    caption,
    columns: [
      wordsColumn(columnName("animal", language)),
      wordsColumn(columnName("what", language)),
      shortColumn(columnName("firstSign", language)),
      numberColumn(columnName("treatment", language)),
      shortColumn(columnName("closed", language)),
    ],
    rows: cases.map((one) => [
      animalCell(input, one.animal),
      caseInWords(one, language),
      dayShort(one.first_sign, language, true),
      one.days_to_treatment === null ? "" : whole(one.days_to_treatment, language),
      one.closed === null ? words.stillOpen : dayShort(one.closed, language, true),
    ]),
  };
}
