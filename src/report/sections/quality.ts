import { whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { measuringWords } from "../words/measuring.ts";

/** What in the records themselves wants a look. */
export function qualitySection({ language, findings }: SeasonPageInput): Section {
  const words = measuringWords[language];
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
      rows: findings.quality.map((row) => {
        const check = words.checks[row.check_name] ?? { name: row.check_name, advice: row.advice };
        return [
          check.name,
          whole(row.rows_looked_at, language),
          whole(row.rows_flagged, language),
          row.example ?? "",
          row.rows_flagged > 0 ? check.advice : "",
        ];
      }),
    },
  };
}
