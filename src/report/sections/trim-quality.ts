import type { TrimQualityRow } from "../../findings/trim-quality.ts";
import { wordCodes } from "../../records/codes.ts";
import type { Language } from "../../records/language.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { percentWithLimits, whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { capital } from "../words/count.ts";
import { feetWords } from "../words/feet.ts";
import { groupWords } from "../words/groups.ts";
import { pageWords } from "../words/page.ts";

/** How the trims went: bleeding, over-trimming, claws left long, stages followed up, by trimmer. */
export function trimQualitySection({ language, flock, findings }: SeasonPageInput): Section {
  const words = feetWords[language];
  const all = findings.trimQuality.find((row) => row.group_kind === "flock");
  if (!all) return { id: "trims", question: words.trimQuestion, heading: words.trimNone, rests: "" };
  const trimmers = findings.trimQuality.filter((row) => row.group_kind === "trimmer");
  const named = trimmers.map((row, i) => ({
    row,
    name: flock.namePeople ? row.group_value : pageWords[language].trimmer(i + 1),
  }));
  const text = [
    all.staged > 0 ? words.stagedSentence(all.staged, all.staged_followed_up) : "",
    all.left_long > 0 ? words.longSentence(all.left_long) : "",
    ...named
      .filter(({ row }) => row.outside_limits === true)
      .map(({ row, name }) =>
        words.trimOutside(
          name,
          row.over_trimmed,
          row.trims,
          all.over_trimmed,
          all.trims,
          row.over_trimmed * all.trims > all.over_trimmed * row.trims,
        ),
      ),
  ].filter((said) => said !== "");
  const heading = words.trimHeading(all.bled, all.trims);
  return {
    id: "trims",
    question: words.trimQuestion,
    heading,
    ...(text.length > 0 ? { text: [text.join(" ")] } : {}),
    rests: "",
    ...(named.length > 1
      ? {
          chart: intervalPlot({
            title: heading,
            axis: words.trimAxis,
            counted: columnName("trims", language).toLowerCase(),
            share: true,
            rows: named.map(({ row, name }) => ({
              label: name,
              value: row.bled_rate,
              lo: row.lo,
              hi: row.hi,
              count: whole(row.trims, language),
              says: `${name}: ${row.bled_rate === null ? wordCodes(row.caution, language) : shareOf(row, language)}`,
              reason: capital(wordCodes(row.caution, language)),
            })),
            ...(all.bled_rate === null
              ? {}
              : { reference: { value: all.bled_rate, label: groupWords[language].wholeFlock } }),
          }),
        }
      : {}),
    table: {
      caption: words.trimQuestion,
      columns: [
        wordsColumn(columnName("group", language)),
        numberColumn(columnName("trims", language)),
        numberColumn(columnName("bled", language)),
        numberColumn(columnName("share", language)),
        numberColumn(columnName("overTrimmed", language)),
        numberColumn(columnName("leftLong", language)),
      ],
      rows: [{ row: all, name: groupWords[language].wholeFlock }, ...named].map(({ row, name }) => [
        name,
        whole(row.trims, language),
        whole(row.bled, language),
        row.bled_rate === null ? "" : shareOf(row, language),
        whole(row.over_trimmed, language),
        whole(row.left_long, language),
      ]),
    },
  };
}

function shareOf(row: TrimQualityRow, language: Language): string {
  return percentWithLimits({ value: row.bled_rate ?? 0, lo: row.lo, hi: row.hi }, language);
}
