import { type FlowStep, flowSteps } from "../../findings/record-flow.ts";
import { whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { studyWords } from "../words/study.ts";

/** From the sheets to the analyses: how many records stand at each step, and what was left out where. */
export function recordFlowSection({ language, findings, records }: SeasonPageInput): Section | null {
  const words = studyWords[language];
  if (findings.recordFlow.length === 0) return null;
  const at = (step: FlowStep) => findings.recordFlow.find((row) => row.step === step);
  return {
    id: "flow",
    question: words.flowQuestion,
    heading: words.flowHeading(at("intervals_used")?.rows ?? 0, at("growth_intervals")?.rows ?? 0),
    rests: "",
    table: {
      caption: words.flowQuestion,
      columns: [
        wordsColumn(columnName("step", language)),
        numberColumn(columnName("records", language)),
        numberColumn(columnName("animals", language)),
      ],
      rows: [
        [words.flowBook, whole(records.read, language), ""],
        [words.flowAside, whole(records.setAside, language), ""],
        ...flowSteps.map((step) => [
          words.flowSteps[step],
          whole(at(step)?.rows ?? 0, language),
          whole(at(step)?.animals ?? 0, language),
        ]),
      ],
    },
  };
}
