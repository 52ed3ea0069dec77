import { whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import type { Section } from "../section.ts";
import { findingWords } from "../words/findings.ts";

/** What in the records themselves wants a look. */
export function qualitySection({ language, findings }: SeasonPageInput): Section {
  const words = findingWords[language];
  const flagged = findings.quality.filter((row) => row.rows_flagged > 0);
  return {
    id: "quality",
    question: words.qualityQuestion,
    heading: words.qualityHeading(flagged.length),
    rests: "",
    table: {
      caption: words.qualityQuestion,
      columns: [
        { name: words.columns.what, numeric: false },
        { name: words.columns.lookedAt, numeric: true },
        { name: words.columns.flagged, numeric: true },
        { name: words.columns.example, numeric: false },
        { name: words.columns.advice, numeric: false },
      ],
      rows: findings.quality.map((row) => [
        row.check_name,
        whole(row.rows_looked_at, language),
        whole(row.rows_flagged, language),
        row.example ?? "",
        row.rows_flagged > 0 ? row.advice : "",
      ]),
    },
  };
}
