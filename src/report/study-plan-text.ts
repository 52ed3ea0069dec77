import type { PlanRequest, PlanRow, StudyPlan } from "../findings/study-plan/plan-study.ts";
import { readCodes, wordCode, wordCodes } from "../records/codes.ts";
import type { Language } from "../records/language.ts";
import { type LengthUnit, toLengthUnit, unitName } from "./length-units.ts";
import { decimal, NO_BREAK, whole } from "./numbers.ts";
import { sentence } from "./words/count.ts";
import { studyPlanWords } from "./words/study-plan.ts";

/** A study's plan in words: what comes above its table, the table, what comes below. */
export interface StudyPlanText {
  readonly above: readonly string[];
  readonly rows: readonly Readonly<Record<string, string>>[];
  readonly below: readonly string[];
}

export function studyPlanText(
  plan: StudyPlan,
  request: PlanRequest,
  flock: { readonly name: string; readonly unit: LengthUnit },
  language: Language,
): StudyPlanText {
  const words = studyPlanWords[language];
  const { fit } = plan;
  return {
    above: [
      words.title(flock.name, request.outcome, request.unit),
      plan.lameShare === null
        ? words.restsGrowth(fit.animals, fit.pens, fit.rows)
        : words.restsLame(fit.animals, fit.pens, fit.rows, percent(plan.lameShare, language)),
      words.method(request.simulations, request.unit, request.monthsBefore),
      ...readCodes(fit.caution).map((one) => sentence(wordCode(one, language))),
    ],
    rows: plan.rows.map((row) => cellsOf(row, request, flock.unit, language)),
    below: [
      ...words.explained,
      ...(request.unit === "animal" ? [words.animalsExplained] : []),
      ...(request.monthsBefore === 0 ? [words.beforeExplained] : []),
    ],
  };
}

function cellsOf(
  row: PlanRow,
  { outcome }: PlanRequest,
  unit: LengthUnit,
  language: Language,
): Readonly<Record<string, string>> {
  const words = studyPlanWords[language];
  const { columns } = words;
  const { design, power } = row;
  const effect = (one: number): string =>
    outcome === "growth"
      ? decimal(toLengthUnit(one, unit), unit === "in" ? 3 : 2, language)
      : decimal(Math.exp(one), 2, language);
  return {
    [columns.pens]: whole(design.pens, language),
    [columns.goats]: whole(design.goatsPerPen, language),
    [columns.months]: whole(design.months, language),
    [columns.visits]: whole(design.visits, language),
    [words.effect(outcome, unitName(unit, language))]: effect(row.effect),
    ...(row.lameShare === null ? {} : { [columns.lame]: percent(row.lameShare, language) }),
    [columns.power]:
      power === null
        ? ""
        : `${percent(power.power, language)} ± ${decimal(100 * power.standardError, 1, language)}`,
    [columns.formula]: row.formula === null ? "" : percent(row.formula, language),
    [columns.range]:
      row.formulaLo === null || row.formulaHi === null
        ? ""
        : words.rangeBetween(whole(100 * row.formulaLo, language), whole(100 * row.formulaHi, language)),
    [columns.designEffect]: decimal(row.designEffect, 1, language),
    [columns.smallest]: row.smallest !== null ? effect(row.smallest) : power === null ? "" : words.none,
    [columns.note]: wordCodes(row.caution, language),
  };
}

function percent(share: number, language: Language): string {
  return `${whole(100 * share, language)}${NO_BREAK}%`;
}
