import { dayInWords } from "../dates.ts";
import { decimal, whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import type { Section } from "../section.ts";
import { findingWords } from "../words/findings.ts";

/** Cases that began this season: how many, how soon treated, how many came back, which are open. */
export function caseSection({ language, findings }: SeasonPageInput): Section {
  const words = findingWords[language];
  const { cases } = findings;
  if (cases.length === 0)
    return { id: "cases", question: words.caseQuestion, heading: words.caseNone, rests: "" };
  const open = cases.filter((one) => one.closed === null);
  const waits = cases
    .flatMap((one) => (one.days_to_treatment === null ? [] : [one.days_to_treatment]))
    .sort((a, b) => a - b);
  const repeats = cases.filter((one) => one.repeat_of !== null).length;
  const animals = new Set(cases.map((one) => one.animal)).size;
  const sentence =
    waits.length === 0
      ? ""
      : words.caseSentence(cases.length, waits.length, decimal(medianOf(waits), 0, language));
  return {
    id: "cases",
    question: words.caseQuestion,
    heading: words.caseHeading(cases.length, open.length),
    text: [`${sentence} ${words.repeatSentence(repeats)}`.trim()],
    rests: words.rests(animals, whole(cases.length, language), "cases"),
    table: {
      caption: words.caseQuestion,
      columns: [
        { name: words.columns.animal, numeric: false },
        { name: words.columns.what, numeric: false },
        { name: words.columns.firstSign, numeric: false },
        { name: words.columns.treatment, numeric: true },
        { name: words.columns.closed, numeric: false },
      ],
      rows: [...cases]
        .sort((a, b) => Number(a.closed !== null) - Number(b.closed !== null) || a.first_sign - b.first_sign)
        .map((one) => [
          one.animal,
          [one.kind, one.lesions, one.severity].filter((part) => part !== null).join(", "),
          dayInWords(one.first_sign, language),
          one.days_to_treatment === null ? "" : whole(one.days_to_treatment, language),
          one.closed === null ? words.stillOpen : dayInWords(one.closed, language),
        ]),
    },
    answer: { sentence: `${words.caseHeading(cases.length, open.length)}.`, strength: 45 },
  };
}

function medianOf(sorted: readonly number[]): number {
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
