import type { FlockDifferenceRow } from "../../findings/flock-differences.ts";
import { wordCodes } from "../../records/codes.ts";
import { differencePerMonth } from "../length-units.ts";
import { ratioWithLimits, whole } from "../numbers.ts";
import type { PooledPageInput } from "../pooled-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { capital } from "../words/count.ts";
import { groupWords } from "../words/groups.ts";
import { pooledWords } from "../words/pooled.ts";
import { studyWords } from "../words/study.ts";

type Outcome = "growth" | "time_to_retrim";

/**
 * What groups of goats differ by from their own flock's others in growth, or in how long a trim lasts: all flocks, each
 * flock, and all but one. null where no three flocks hold both.
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
  const whose = (row: FlockDifferenceRow): string => {
    if (row.check === "leave_out_flock") return words.withoutFlock(flockName(row.left_out));
    return row.flock === "all" ? words.allFlocks : flockName(row.flock);
  };
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
  const inOrder = mains.flatMap((main) => {
    const alike = own.filter(
      (row) => row.group_kind === main.group_kind && row.group_value === main.group_value && !isMain(row),
    );
    return [
      main,
      ...alike.filter(({ check }) => check === "main"),
      ...alike.filter(({ check }) => check !== "main"),
    ];
  });
  return {
    id: `flock-differences-${outcome}`,
    question: words.differenceQuestion[outcome],
    heading: words.differenceHeading(clear.map(nameOf)),
    text: [...sentences, words.differenceText],
    rests: words.together(Math.max(...mains.map(({ flocks }) => flocks))),
    table: {
      caption: words.differenceQuestion[outcome],
      columns: [
        wordsColumn(columnName("group", language)),
        wordsColumn(words.eachFlock),
        numberColumn(columnName("animals", language)),
        numberColumn(words.differenceColumn),
        wordsColumn(columnName("note", language)),
      ],
      rows: inOrder.map((row) => [
        nameOf(row),
        capital(whose(row)),
        whole(row.animals, language),
        effect(row),
        capital(wordCodes(row.caution, language)),
      ]),
    },
  };
}
