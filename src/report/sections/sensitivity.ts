import type { AssociationRow } from "../../findings/association/association-tables.ts";
import { limitsPerMonth, unitName } from "../length-units.ts";
import { NO_BREAK, ratioWithLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { type Section, wordsColumn } from "../section.ts";
import { associationWords, exposureName } from "../words/associations.ts";
import { capital } from "../words/count.ts";

/** Ways of asking again that have a column of their own, in this order. */
const CHECKS = ["unadjusted", "month_fixed", "past_beside_future"] as const;

/**
 * The same slopes asked in other ways, and which of them point the other way: a row for each association, its
 * checks beside it.
 */
export function sensitivitySection(input: SeasonPageInput): Section | null {
  const { language, flock, findings } = input;
  const words = associationWords[language];
  const mains = findings.association.filter(
    (row) => row.check === "main" && row.level === "within_pen" && row.effect !== null,
  );
  const checked = mains.map((main) => ({
    main,
    checks: findings.association.filter(
      (row) =>
        row.outcome === main.outcome &&
        row.exposure === main.exposure &&
        row.check !== "main" &&
        row.check !== "future_exposure" &&
        row.effect !== null,
    ),
  }));
  const all = checked.flatMap(({ main, checks }) => checks.map((row) => turnsFrom(main, row)));
  if (all.length === 0) return null;
  const shownChecks = CHECKS.filter((check) =>
    checked.some(({ checks }) => checks.some((row) => row.check === check)),
  );
  const lags = [
    ...new Set(
      checked.flatMap(({ checks }) =>
        checks.flatMap((row) => (row.check === "other_lag" && row.lag_days !== null ? [row.lag_days] : [])),
      ),
    ),
  ].sort((a, b) => a - b);
  return {
    id: "sensitivity",
    question: words.sensitivityQuestion,
    heading: words.sensitivityHeading(all.filter((turns) => turns).length, all.length),
    text: [words.sensitivityText],
    rests: "",
    table: {
      caption: words.sensitivityQuestion,
      columns: [
        words.asked,
        words.columns.exposure,
        words.check.main!,
        ...shownChecks.map((check) => words.check[check]!),
        ...lags.map(words.lag),
        words.oneLeftOut,
      ].map((name) => wordsColumn(capital(name))),
      rows: checked.map(({ main, checks }) => [
        words.measured(main.outcome, unitName(flock.unit, language)),
        exposureName(main.exposure, language),
        effectOf(input, main),
        ...shownChecks.map((check) =>
          checks
            .filter((row) => row.check === check)
            .map((row) => said(input, main, row))
            .join("; "),
        ),
        ...lags.map((lag) =>
          checks
            .filter((row) => row.check === "other_lag" && row.lag_days === lag)
            .map((row) => said(input, main, row))
            .join("; "),
        ),
        leftOut(
          input,
          main,
          checks.filter((row) => row.left_out !== ""),
        ),
      ]),
    },
  };
}

/** How far the figure moves as one place after the other is left out, and which of these turn it. */
function leftOut(input: SeasonPageInput, main: AssociationRow, rows: readonly AssociationRow[]): string {
  const words = associationWords[input.language];
  const ranked = [...rows].sort((a, b) => a.effect! - b.effect!);
  const ends = ranked.length < 2 ? ranked : [ranked[0]!, ranked.at(-1)!];
  const turned = ranked.filter((row) => !ends.includes(row) && turnsFrom(main, row));
  return [...ends, ...turned]
    .map((row) => {
      const figure = effectOf(input, { ...row, lo: null, hi: null });
      const turns = turnsFrom(main, row) ? `, ${words.pointsOtherWay}` : "";
      return `${figure} ${words.withoutPlace(row.left_out)}${turns}`;
    })
    .join("; ");
}

function said(input: SeasonPageInput, main: AssociationRow, row: AssociationRow): string {
  const words = associationWords[input.language];
  return turnsFrom(main, row) ? `${effectOf(input, row)}, ${words.pointsOtherWay}` : effectOf(input, row);
}

/** A figure with its limits, which stay on one line. */
function effectOf(
  { language, flock }: SeasonPageInput,
  { effect, lo, hi, effect_kind }: AssociationRow,
): string {
  const [figure, ...limits] = (
    effect_kind === "mm_per_30d"
      ? limitsPerMonth(effect, lo, hi, flock.unit, language)
      : ratioWithLimits({ value: effect ?? 1, lo, hi }, language)
  ).split(" ");
  return [figure, limits.join(NO_BREAK)].join(" ").trim();
}

/** Whether a check points the other way than the answer it checks, with limits clear of no difference. */
function turnsFrom(main: AssociationRow, { effect, lo, hi, effect_kind }: AssociationRow): boolean {
  const none = effect_kind === "mm_per_30d" ? 0 : 1;
  const isClear = lo !== null && hi !== null && (lo > none || hi < none);
  return isClear && effect! > none !== main.effect! > none;
}
