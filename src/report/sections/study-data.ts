import { type StudyColumn, type StudyTable, studyColumns } from "../../findings/study-data.ts";
import { whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, shortColumn, wordsColumn } from "../section.ts";
import { studyColumnMeanings, studyDataWords } from "../words/study-data.ts";

/** Name of the file beside the page that holds a table of the study data. */
export const studyFiles: Readonly<Record<StudyTable, string>> = {
  growth: "data-growth.csv",
  gait: "data-gait.csv",
};

/** The season's records without names, for whoever wants to work with them; null where there are none. */
export function studyDataSection({ language, studyData }: SeasonPageInput): Section | null {
  if (studyData === null || studyData.growth + studyData.gait === 0) return null;
  const words = studyDataWords[language];
  const files = (["growth", "gait"] as const).filter((table) => studyData[table] > 0);
  return {
    id: "study-data",
    question: words.question,
    heading: words.heading(studyData.growth, studyData.gait),
    text: words.text,
    rests: "",
    table: {
      caption: words.caption,
      columns: [
        wordsColumn(words.columns.file),
        numberColumn(words.columns.rows),
        wordsColumn(words.columns.holds),
      ],
      rows: files.map((table) => [
        { text: studyFiles[table], href: studyFiles[table] },
        whole(studyData[table], language),
        words.tables[table],
      ]),
    },
    rest: {
      summary: words.columnsSummary,
      table: {
        caption: words.columnsCaption,
        columns: [
          shortColumn(words.column.name),
          shortColumn(words.column.stands),
          wordsColumn(words.column.meaning),
        ],
        rows: (Object.keys(studyColumnMeanings) as StudyColumn[]).map((column) => {
          const within = files.filter((table) => (studyColumns[table] as readonly string[]).includes(column));
          const where = within.length === 2 ? words.both : within.map((table) => studyFiles[table]).join("");
          return [column, where, studyColumnMeanings[column][language]];
        }),
      },
    },
  };
}
