import { dayInWords } from "../dates.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import type { Section } from "../section.ts";
import { feetWords } from "../words/feet.ts";

/** Treatments on record and withdrawals recorded as running; never that milk or meat is clear. */
export function treatmentSection(input: SeasonPageInput): Section {
  const { language, treatments } = input;
  const words = feetWords[language];
  if (treatments.count === 0) {
    return { id: "treatments", question: words.treatmentQuestion, heading: words.treatmentNone, rests: "" };
  }
  return {
    id: "treatments",
    question: words.treatmentQuestion,
    heading: words.treatmentHeading(treatments.count),
    text: [withdrawalSentences(input).join(" ")],
    rests: "",
  };
}

/** What is recorded of withdrawals, and what no record can tell. */
export function withdrawalSentences({ language, treatments }: SeasonPageInput): readonly string[] {
  const words = feetWords[language];
  const { milkUntil, meatUntil, withoutWithdrawal } = treatments;
  return [
    milkUntil === null ? "" : words.milkUntil(dayInWords(milkUntil, language)),
    meatUntil === null ? "" : words.meatUntil(dayInWords(meatUntil, language)),
    milkUntil === null && meatUntil === null ? words.nothingRunning : "",
    words.withoutWithdrawal(withoutWithdrawal),
    words.neverClear,
  ].filter((said) => said !== "");
}
