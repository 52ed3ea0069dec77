import { type Book, quoteText } from "../book/book.ts";
import type { RowOf, TableColumns, TableDefinition } from "../records/table.ts";
import {
  type AssociationRow,
  associationTable,
  type DoseResponseRow,
  doseResponseTable,
} from "./association/association-tables.ts";
import {
  type BreedingValueRow,
  breedingValueTable,
  type LineRow,
  lineTable,
} from "./breeding/breeding-tables.ts";
import { type CaseRow, caseTable } from "./case.ts";
import { type CaseSummaryRow, caseSummaryTable } from "./case-summary.ts";
import { type CoverageRow, coverageTable } from "./coverage.ts";
import { type DietRow, dietTable } from "./diet.ts";
import { type FlockProfileRow, flockProfileTable } from "./flock-profile.ts";
import { type ForecastScoreRow, forecastScoreTable } from "./forecast-score.ts";
import { type GrowthAnimalRow, growthAnimalTable } from "./growth-animal.ts";
import { type GrowthSummaryRow, growthSummaryTable } from "./growth-summary.ts";
import { type LamenessRow, lamenessTable } from "./lameness.ts";
import { type LesionRow, lesionTable } from "./lesion.ts";
import { type MeasurementErrorRow, measurementErrorTable } from "./measurement-error.ts";
import { type MonthWatchRow, monthWatchTable } from "./month-watch.ts";
import { type NextCheckRow, nextCheckTable } from "./next-check.ts";
import { type QualityRow, qualityTable } from "./quality.ts";
import { readTable } from "./read-table.ts";
import { type RecordFlowRow, recordFlowTable } from "./record-flow.ts";
import {
  type RetrimCurveRow,
  type RetrimSummaryRow,
  retrimCurveTable,
  retrimSummaryTable,
} from "./retrim.ts";
import { type SeasonChangeRow, seasonChangeTable } from "./season-change.ts";
import { type SignalRow, signalTable } from "./signal.ts";
import {
  type TrialBaselineRow,
  type TrialEffectRow,
  trialBaselineTable,
  trialEffectTable,
} from "./trial-effect.ts";
import { type TrimQualityRow, trimQualityTable } from "./trim-quality.ts";

/** Every result of one flock that a page of one season may show. Pages see nothing else of the book. */
export interface SeasonFindings {
  readonly season: string;
  readonly growthSummary: readonly GrowthSummaryRow[];
  readonly growthAnimal: readonly GrowthAnimalRow[];
  readonly lameness: readonly LamenessRow[];
  readonly lesion: readonly LesionRow[];
  readonly coverage: readonly CoverageRow[];
  readonly trimQuality: readonly TrimQualityRow[];
  readonly flockProfile: readonly FlockProfileRow[];
  readonly recordFlow: readonly RecordFlowRow[];
  /** Cases whose first sign falls in the season. */
  readonly cases: readonly CaseRow[];
  readonly caseSummary: readonly CaseSummaryRow[];
  /** Cases of any season that are open on the flock's day, or began within the week before it. */
  readonly liveCases: readonly CaseRow[];
  /** The whole flock's growth and lameness, season by season. */
  readonly flockGrowth: readonly GrowthSummaryRow[];
  readonly flockLameness: readonly LamenessRow[];
  /** The whole flock's season against the one before and the one a year before. */
  readonly seasonChange: readonly SeasonChangeRow[];
  /** The next ones speak of all seasons, as of the flock's day. */
  readonly retrimSummary: readonly RetrimSummaryRow[];
  readonly retrimCurve: readonly RetrimCurveRow[];
  readonly nextCheck: readonly NextCheckRow[];
  readonly lines: readonly LineRow[];
  readonly breedingValues: readonly BreedingValueRow[];
  readonly measurementError: readonly MeasurementErrorRow[];
  readonly forecastScore: readonly ForecastScoreRow[];
  readonly quality: readonly QualityRow[];
  readonly association: readonly AssociationRow[];
  /** The same over all flocks of the book; empty where it holds one. */
  readonly pooledAssociation: readonly AssociationRow[];
  readonly doseResponse: readonly DoseResponseRow[];
  /** Lame scores of each pen month by month, and the signals they raised, of all seasons. */
  readonly monthWatch: readonly MonthWatchRow[];
  readonly signals: readonly SignalRow[];
  /** Diets eaten on any day of the season. */
  readonly diet: readonly DietRow[];
  readonly trialEffect: readonly TrialEffectRow[];
  readonly trialBaseline: readonly TrialBaselineRow[];
}

export async function readSeasonFindings(book: Book, flock: string, season: string): Promise<SeasonFindings> {
  const ofFlock = `flock = ${quoteText(flock)}`;
  const ofSeason = `${ofFlock} AND season = ${quoteText(season)}`;
  const read = <C extends TableColumns>(
    table: TableDefinition<C>,
    where: string,
  ): Promise<RowOf<TableDefinition<C>>[]> => readTable(book, table, where);
  return {
    season,
    growthSummary: await read(growthSummaryTable, ofSeason),
    growthAnimal: await read(growthAnimalTable, ofSeason),
    lameness: await read(lamenessTable, ofSeason),
    lesion: await read(lesionTable, ofSeason),
    coverage: await read(coverageTable, ofSeason),
    trimQuality: await read(trimQualityTable, ofSeason),
    flockProfile: await read(flockProfileTable, ofSeason),
    recordFlow: await read(recordFlowTable, ofSeason),
    cases: await read(
      caseTable,
      `${ofFlock} AND EXISTS (SELECT 1 FROM exposure.season s WHERE s.${ofFlock} AND s.season = ${quoteText(season)}
         AND first_sign >= s.from_day AND first_sign < s.to_day)`,
    ),
    caseSummary: await read(caseSummaryTable, ofSeason),
    liveCases: await read(
      caseTable,
      `${ofFlock} AND (closed IS NULL OR first_sign > (SELECT today - 7 FROM exposure.flock f WHERE f.${ofFlock}))`,
    ),
    flockGrowth: await read(growthSummaryTable, `${ofFlock} AND group_kind = 'flock' AND season <> 'all'`),
    flockLameness: await read(lamenessTable, `${ofFlock} AND group_kind = 'flock' AND season <> 'all'`),
    seasonChange: await read(seasonChangeTable, `${ofSeason} AND group_kind = 'flock'`),
    retrimSummary: await read(retrimSummaryTable, ofFlock),
    retrimCurve: await read(retrimCurveTable, ofFlock),
    nextCheck: await read(nextCheckTable, ofFlock),
    lines: await read(lineTable, ofFlock),
    breedingValues: await read(breedingValueTable, ofFlock),
    measurementError: await read(measurementErrorTable, ofFlock),
    forecastScore: await read(forecastScoreTable, ofFlock),
    quality: await read(qualityTable, ofFlock),
    association: await read(associationTable, ofFlock),
    pooledAssociation: await read(associationTable, "flock = 'all'"),
    doseResponse: await read(doseResponseTable, ofFlock),
    monthWatch: await read(monthWatchTable, ofFlock),
    signals: await read(signalTable, ofFlock),
    diet: await read(
      dietTable,
      `${ofFlock} AND EXISTS (SELECT 1 FROM exposure.season s WHERE s.${ofFlock} AND s.season = ${quoteText(season)}
         AND date_from < s.to_day AND date_to > s.from_day)`,
    ),
    trialEffect: await read(trialEffectTable, ofFlock),
    trialBaseline: await read(trialBaselineTable, ofFlock),
  };
}
