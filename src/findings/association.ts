import { associationRows, doseResponseRows, withheldRows } from "./association/association-rows.ts";
import { associationTable, doseResponseTable } from "./association/association-tables.ts";
import { readGaitOutcomes } from "./association/gait-outcome.ts";
import { readGrowthOutcome } from "./association/growth-outcome.ts";
import {
  analyseOutcome,
  familyQ,
  type OutcomeAnalysis,
  type OutcomeId,
  outcomeIds,
} from "./association/outcome-analysis.ts";
import type { OutcomeRows } from "./association/outcome-rows.ts";
import type { Job } from "./crew.ts";
import { type Finding, type FindingContext, insertRows } from "./finding.ts";

/**
 * What goes with growth and lameness: slopes of diet, minerals and wetness within pens over time and between pens, with
 * what checks them (see `WithinFit`). Associations: none of them says what would happen if a condition were changed.
 */
export const association: Finding = {
  tables: [associationTable, doseResponseTable],
  async fill(context) {
    const ids = context.flocks.map(({ id }) => id);
    for (const flock of ids) await fillAnalysis(context, flock, [flock]);
    if (ids.length > 1) await fillAnalysis(context, "all", ids);
  },
};

/** Fits the models of one outcome and what checks them. */
export const outcomeJob: Job<{ readonly rows: OutcomeRows; readonly outcome: OutcomeId }, OutcomeAnalysis> = {
  name: "association",
  work: ({ rows, outcome }) => analyseOutcome(rows, outcome),
};

async function fillAnalysis(
  { book, crew }: FindingContext,
  name: string,
  flocks: readonly string[],
): Promise<void> {
  const growth = await readGrowthOutcome(book, flocks);
  const { lame, newLameness } = await readGaitOutcomes(book, flocks);
  const outcomes = { growth, lame, new_lameness: newLameness };
  const analyses = await Promise.all(
    outcomeIds.flatMap((outcome) => {
      const rows = outcomes[outcome];
      return rows === null ? [] : [crew.run(outcomeJob, { rows, outcome })];
    }),
  );
  const q = familyQ(analyses);
  await insertRows(book, associationTable, [
    ...analyses.flatMap((analysis) => associationRows(name, analysis, q)),
    ...withheldRows(name, analyses),
  ]);
  await insertRows(
    book,
    doseResponseTable,
    analyses.flatMap((analysis) => doseResponseRows(name, analysis)),
  );
}
