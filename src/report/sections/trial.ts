import type { TrialEffectRow } from "../../findings/trial-effect.ts";
import { wordCodes } from "../../records/codes.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { differencePerMonth, toLengthUnit, unitName } from "../length-units.ts";
import { percentWithLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { type Section, wordsColumn } from "../section.ts";
import { associationWords } from "../words/associations.ts";
import { columnName } from "../words/columns.ts";
import { capital } from "../words/count.ts";
import { dietWords } from "../words/diet.ts";

/** What the arms of a study differ by, unit against unit; null where the flock has no arms. */
export function trialSection(input: SeasonPageInput): Section | null {
  const { language, flock, findings } = input;
  const words = dietWords[language];
  const rows = findings.trialEffect;
  if (rows.length === 0) return null;
  const known = rows.filter((row) => row.difference !== null);
  const apart = known.filter((row) => row.lo !== null && row.hi !== null && (row.lo > 0 || row.hi < 0));
  const heading = words.trialHeading(apart.length);
  const growth = rows.filter((row) => row.outcome === "growth");
  const scaled = (mm: number | null): number | null => (mm === null ? null : toLengthUnit(mm, flock.unit));
  const sentences = known.map((row) =>
    words.trialSentence(
      row.outcome === "growth" ? "growth" : "lame",
      row.arm,
      row.against,
      differenceOf(input, row),
      words.trialUnits(row.unit, row.units_per_arm),
    ),
  );
  return {
    id: "trial",
    question: words.trialQuestion,
    heading: known.length === 0 ? capital(wordCodes(rows[0]!.caution, language)) : heading,
    text: sentences,
    ...(growth.some((row) => row.difference !== null)
      ? {
          chart: intervalPlot({
            title: heading,
            axis: associationWords[language].axis("growth", unitName(flock.unit, language)),
            counted: words.trialColumns.units,
            reference: { value: 0, label: associationWords[language].noDifference },
            endWords: associationWords[language].ends.growth,
            rows: growth.map((row) => ({
              label: `${row.arm} – ${row.against}`,
              value: scaled(row.difference),
              lo: scaled(row.lo),
              hi: scaled(row.hi),
              count: String(row.units_per_arm),
              says: `${row.arm} – ${row.against}: ${differenceOf(input, row)}`,
              reason: capital(wordCodes(row.caution, language)),
            })),
          }),
        }
      : {}),
    rests: "",
    ...(rows.some((row) => row.before_after) ? { cautions: [words.trialBeforeAfter] } : {}),
    table: {
      caption: words.trialQuestion,
      columns: [
        wordsColumn(words.trialColumns.arms),
        wordsColumn(words.trialColumns.outcome),
        wordsColumn(words.trialColumns.difference),
        wordsColumn(words.trialColumns.units),
        wordsColumn(columnName("note", language)),
      ],
      rows: rows.map((row) => [
        `${row.arm} – ${row.against}`,
        words.outcome[row.outcome] ?? row.outcome,
        differenceOf(input, row),
        words.trialUnits(row.unit, row.units_per_arm),
        capital(wordCodes(row.caution, language)),
      ]),
    },
    ...(sentences[0] === undefined ? {} : { answer: { sentence: sentences[0], strength: 46 } }),
  };
}

function differenceOf({ language, flock }: SeasonPageInput, row: TrialEffectRow): string {
  if (row.difference === null) return "";
  const estimate = { value: row.difference, lo: row.lo, hi: row.hi };
  return row.outcome === "growth"
    ? differencePerMonth(estimate, flock.unit, language)
    : percentWithLimits(estimate, language);
}
