import { whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { feetWords } from "../words/feet.ts";

/** What in the records themselves wants a look. */
export function qualitySection({ language, findings }: SeasonPageInput): Section {
  const words = feetWords[language];
  return {
    id: "quality",
    question: words.qualityQuestion,
    heading: words.qualityHeading(findings.quality.filter((row) => row.rows_flagged > 0).length),
    rests: "",
    table: {
      caption: words.qualityQuestion,
      columns: [
        wordsColumn(columnName("what", language)),
        numberColumn(columnName("lookedAt", language)),
        numberColumn(columnName("flagged", language)),
        wordsColumn(columnName("example", language)),
        wordsColumn(columnName("advice", language)),
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
