import type { DoseResponseRow } from "../../findings/association/association-tables.ts";
import { type DoseCurve, doseCurve } from "../charts/dose-curve.ts";
import { differencePerMonth, toLengthUnit, unitName } from "../length-units.ts";
import { decimal, pValue, ratioWithLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { associationWords, exposureName, type Outcome } from "../words/associations.ts";
import { columnName } from "../words/columns.ts";
import { capital } from "../words/count.ts";

/** p below which a curve's bend is called one. */
const NOT_STRAIGHT = 0.05;

/** How each outcome goes with each condition across its range, as small curves; null without any. */
export function doseSection(input: SeasonPageInput): Section | null {
  const { language, findings } = input;
  const words = associationWords[language];
  const curves = new Map<string, DoseResponseRow[]>();
  for (const row of findings.doseResponse) {
    const key = `${row.outcome} ${row.exposure}`;
    curves.set(key, [...(curves.get(key) ?? []), row]);
  }
  if (curves.size === 0) return null;
  const all = [...curves.values()];
  const bent = all.filter((rows) => rows[0]!.p_not_straight < NOT_STRAIGHT).length;
  return {
    id: "dose",
    question: words.doseQuestion,
    heading: words.doseHeading(bent, all.length),
    small: all.map((rows) => doseCurve(curveOf(input, rows))),
    rests: "",
    cautions: [words.whatItIsNot],
    table: {
      caption: words.doseQuestion,
      columns: [wordsColumn(columnName("what", language)), numberColumn(words.columns.p)],
      rows: all.map((rows) => [nameOf(input, rows[0]!), pValue(rows[0]!.p_not_straight, language)]),
    },
  };
}

function curveOf(input: SeasonPageInput, rows: readonly DoseResponseRow[]): DoseCurve {
  const { language, flock } = input;
  const words = associationWords[language];
  const first = rows[0]!;
  const isGrowth = first.effect_kind === "mm_per_30d";
  const scaled = (effect: number): number => (isGrowth ? toLengthUnit(effect, flock.unit) : effect);
  return {
    title: nameOf(input, first),
    axis: axisOf(input, first.exposure),
    measure: words.doseMeasure(first.outcome as Outcome, unitName(flock.unit, language)),
    none: isGrowth ? 0 : 1,
    points: [...rows]
      .sort((a, b) => a.x - b.x)
      .map((row) => {
        const estimate = { value: row.estimate, lo: row.lo, hi: row.hi };
        const says = isGrowth
          ? differencePerMonth(estimate, flock.unit, language)
          : ratioWithLimits(estimate, language);
        return {
          x: row.x,
          estimate: scaled(row.estimate),
          lo: scaled(row.lo),
          hi: scaled(row.hi),
          says: `${decimal(row.x, 1, language)}: ${says}`,
        };
      }),
  };
}

/** A condition with its unit; several that move together have none in common. */
function axisOf({ language }: SeasonPageInput, exposure: string): string {
  const unit = associationWords[language].exposureUnit[exposure];
  return [exposureName(exposure, language), ...(unit === undefined ? [] : [unit])].join(", ");
}

function nameOf({ language }: SeasonPageInput, row: DoseResponseRow): string {
  const words = associationWords[language];
  return `${capital(words.outcome[row.outcome] ?? row.outcome)}, ${exposureName(row.exposure, language)}`;
}
