import { type Book, quoteText } from "../../book/book.ts";
import { code, joinCodes } from "../../records/codes.ts";
import { readGrowthPoints } from "../growth-point.ts";
import { modelFitTable } from "../model-fit.ts";
import { readTable } from "../read-table.ts";
import { varianceTable } from "../variance.ts";
import type { StudyOutcome } from "./study-power.ts";

/** What a flock's stored fits say of an outcome for a study of it. */
export interface PlanFit {
  readonly of: StudyOutcome;
  /** The same with other variances that the records allow as well; none where that is not known. */
  readonly alsoAllowed: readonly StudyOutcome[];
  readonly animals: number;
  readonly pens: number;
  readonly rows: number;
  readonly caution: string | null;
}

/** Why the book allows no plan of an outcome. */
export type PlanFitTrouble =
  | { readonly code: "not_analysed" }
  | { readonly code: "no_records"; readonly outcome: StudyOutcome["outcome"] }
  | { readonly code: "no_fit"; readonly outcome: StudyOutcome["outcome"]; readonly verdict: string }
  | { readonly code: "pens_untold"; readonly outcome: StudyOutcome["outcome"]; readonly pens: number };

/** Reads a flock's fit of an outcome; a plan by pens needs to know how pens differ. */
export async function readPlanFit(
  book: Book,
  flock: string,
  outcome: StudyOutcome["outcome"],
  unit: "pen" | "animal",
): Promise<PlanFit | PlanFitTrouble> {
  const model = outcome === "growth" ? "growth" : "lameness";
  const where = `flock = ${quoteText(flock)} AND model = '${model}'`;
  const fits = await readTable(book, modelFitTable, where);
  const whole = fits.find(({ term }) => term === "fit");
  if (whole === undefined) return { code: "no_records", outcome };
  if (whole.verdict !== "converged" && whole.verdict !== "singular") {
    return { code: "no_fit", outcome, verdict: whole.level === "" ? whole.verdict : whole.level };
  }
  const variances = new Map((await readTable(book, varianceTable, where)).map((row) => [row.component, row]));
  const variance = (component: string): number => variances.get(component)?.variance ?? 0;
  if (unit === "pen" && !variances.has("pen")) return { code: "pens_untold", outcome, pens: whole.pens };
  const facts = {
    animals: whole.animals,
    pens: whole.pens,
    rows: whole.rows,
    caution: joinCodes([
      unit === "pen" ? code("pens_rest_on", whole.pens) : null,
      unit === "pen" && variance("pen") === 0 ? code("pens_found_alike") : null,
      unit === "pen" && !variances.has("pen_month") ? code("pen_months_untold") : null,
    ]),
  };
  const shared = {
    animal: variance("animal"),
    pen: variance("pen"),
    pen_month: variance("pen_month"),
    month: variance("month"),
  };
  if (outcome === "growth") {
    const residual = variance("residual");
    const spread = {
      ...shared,
      claw: variance("claw"),
      interval: variance("interval"),
      visit: variance("visit"),
      residual,
    };
    const { points } = await readGrowthPoints(book, flock);
    return {
      ...facts,
      of: { outcome, spread },
      alsoAllowed: points.map(({ deviations }) => {
        const at = (id: keyof typeof deviations): number => (deviations[id] ?? 0) ** 2 * residual;
        return {
          outcome,
          spread: {
            animal: at("animal"),
            claw: at("claw"),
            interval: at("interval"),
            pen: at("pen"),
            pen_month: at("pen_month"),
            month: at("month"),
            visit: at("visit"),
            residual,
          },
        };
      }),
    };
  }
  const spread = { ...shared, mean: fits.find(({ term }) => term === "mean")!.estimate! };
  const penError = variances.get("pen")?.se ?? null;
  return {
    ...facts,
    of: { outcome, spread },
    // 95 % limits of the variance of pens, symmetric in its logarithm
    alsoAllowed:
      penError === null || unit === "animal"
        ? []
        : [-1.96, 1.96].map((z) => ({
            outcome,
            spread: { ...spread, pen: spread.pen * Math.exp((z * penError) / spread.pen) },
          })),
  };
}
