import type { FlockDifferenceRow } from "../../findings/flock-differences.ts";
import { wordCodes } from "../../records/codes.ts";
import { type IntervalRow, intervalPlot } from "../charts/interval-plot.ts";
import { differencePerMonth, toLengthUnit, unitName } from "../length-units.ts";
import { ratioWithLimits, whole } from "../numbers.ts";
import type { PooledPageInput } from "../pooled-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { associationWords } from "../words/associations.ts";
import { columnName } from "../words/columns.ts";
import { capital } from "../words/count.ts";
import { groupWords } from "../words/groups.ts";
import { pooledWords } from "../words/pooled.ts";
import { studyWords } from "../words/study.ts";

type Outcome = "growth" | "time_to_retrim";

/**
 * What groups of goats differ by from their own flock's others in growth, or in how long a trim lasts: all flocks, each
 * flock, and how far leaving one out moves the common figure. null where no three flocks hold both.
 */
export function flockDifferencesSection(
  { pooled, study }: PooledPageInput,
  outcome: Outcome,
): Section | null {
  const { language, flock } = pooled;
  const words = pooledWords[language];
  const own = study.differences.filter((row) => row.outcome === outcome && row.effect !== null);
  const isMain = (row: FlockDifferenceRow): boolean => row.flock === "all" && row.check === "main";
  const mains = own.filter(isMain);
  if (mains.length === 0) return null;
  const none = outcome === "growth" ? 0 : 1;
  const nameOf = (row: FlockDifferenceRow): string =>
    `${groupWords[language].label(row.group_kind, row.group_value)} (${studyWords[language].traits[row.group_kind] ?? row.group_kind})`;
  const flockName = (id: string): string => study.flocks.find((one) => one.id === id)?.name ?? id;
  const effect = (row: FlockDifferenceRow): string => {
    const estimate = { value: row.effect!, lo: row.lo, hi: row.hi };
    return outcome === "growth"
      ? differencePerMonth(estimate, flock.unit, language)
      : ratioWithLimits(estimate, language);
  };
  const clear = mains.filter((row) => row.lo! > none || row.hi! < none);
  const sentences = clear.map((row) =>
    words.differenceSentence[outcome](nameOf(row), effect(row), row.flocks),
  );
  const ofGroup = (main: FlockDifferenceRow): readonly FlockDifferenceRow[] =>
    own.filter((row) => row.group_kind === main.group_kind && row.group_value === main.group_value);
  // the two flocks without which the common figure is lowest and highest
  const leftOut = (main: FlockDifferenceRow): string => {
    const ranked = ofGroup(main)
      .filter(({ check }) => check === "leave_out_flock")
      .sort((a, b) => a.effect! - b.effect!);
    return (ranked.length < 2 ? ranked : [ranked[0]!, ranked.at(-1)!])
      .map((row) => `${words.withoutFlock(flockName(row.left_out))}: ${effect(row)}`)
      .join("; ");
  };
  const scaled = (value: number | null): number | null =>
    value === null ? null : outcome === "growth" ? toLengthUnit(value, flock.unit) : value;
  const heading = words.differenceHeading(clear.map(nameOf));
  return {
    id: `flock-differences-${outcome}`,
    question: words.differenceQuestion[outcome],
    heading,
    text: [...sentences, words.differenceText],
    chart: intervalPlot({
      title: heading,
      axis: words.differenceAxis[outcome](unitName(flock.unit, language)),
      counted: columnName("animals", language).toLowerCase(),
      ...(outcome === "growth" ? {} : { ratio: true }),
      rows: mains.map(
        (row): IntervalRow => ({
          label: nameOf(row),
          value: scaled(row.effect),
          lo: scaled(row.lo),
          hi: scaled(row.hi),
          count: whole(row.animals, language),
          says: `${nameOf(row)}: ${effect(row)}`,
          reason: "",
        }),
      ),
      reference: { value: none, label: associationWords[language].noDifference },
      endWords: words.differenceEnds[outcome],
    }),
    rests: words.together(Math.max(...mains.map(({ flocks }) => flocks))),
    table: {
      caption: words.differenceQuestion[outcome],
      columns: [
        wordsColumn(columnName("group", language)),
        wordsColumn(words.eachFlock),
        numberColumn(columnName("animals", language)),
        numberColumn(words.differenceColumn),
        wordsColumn(columnName("note", language)),
        wordsColumn(words.flockLeftOut),
      ],
      rows: mains.flatMap((main) =>
        [main, ...ofGroup(main).filter((row) => row.check === "main" && !isMain(row))].map((row) => [
          nameOf(row),
          isMain(row) ? capital(words.allFlocks) : flockName(row.flock),
          whole(row.animals, language),
          effect(row),
          capital(wordCodes(row.caution, language)),
          isMain(row) ? leftOut(row) : "",
        ]),
      ),
    },
  };
}
