import { dayInWords } from "../dates.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import type { Section } from "../section.ts";
import { feetWords } from "../words/feet.ts";

/** Treatments on record and withdrawals recorded as running; never that milk or meat is clear. */
export function treatmentSection(input: SeasonPageInput): Section {
  const { language, treatments } = input;
  const words = feetWords[language];
  const base = { id: "treatments", question: words.treatmentQuestion, rests: "" };
  const heading = treatments.count === 0 ? words.treatmentNone : words.treatmentHeading(treatments.count);
  if (treatments.count === 0 && !withdrawalRuns(input)) return { ...base, heading };
  return { ...base, heading, text: [withdrawalSentences(input).join(" ")] };
}

/** Whether any withdrawal is recorded as running on the day that the page speaks of. */
export function withdrawalRuns({ treatments }: Pick<SeasonPageInput, "treatments">): boolean {
  return treatments.milkUntil !== null || treatments.meatUntil !== null;
}

/** What is recorded of withdrawals, and what no record can tell. */
export function withdrawalSentences({ language, treatments }: SeasonPageInput): readonly string[] {
  const words = feetWords[language];
  const { count, milkUntil, meatUntil, withoutWithdrawal } = treatments;
  return [
    milkUntil === null ? "" : words.milkUntil(dayInWords(milkUntil, language)),
    meatUntil === null ? "" : words.meatUntil(dayInWords(meatUntil, language)),
    milkUntil === null && meatUntil === null ? words.nothingRunning : "",
    count === 0 ? "" : words.withoutWithdrawal(withoutWithdrawal),
    words.neverClear,
  ].filter((said) => said !== "");
}
