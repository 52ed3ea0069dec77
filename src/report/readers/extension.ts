import type { SectionMaker } from "../section.ts";
import { growthSpreadSection } from "../sections/animal-growth.ts";
import { associationSection } from "../sections/associations.ts";
import { dietSection } from "../sections/diet.ts";
import { doseSection } from "../sections/dose-response.ts";
import { coverageSection, flockProfileSection } from "../sections/flock-profile.ts";
import { forecastSection } from "../sections/forecast.ts";
import { growthBySection, growthSection } from "../sections/growth.ts";
import { lamenessBySection, lamenessSection } from "../sections/lameness.ts";
import { measurementSection } from "../sections/measurement.ts";
import { penMonthsSection } from "../sections/pen-months.ts";
import { qualitySection } from "../sections/quality.ts";
import { recordFlowSection } from "../sections/record-flow.ts";
import { retrimByGroundSection, retrimSection } from "../sections/retrim.ts";
import { seasonsGrowthSection, seasonsLamenessSection } from "../sections/seasons.ts";
import { sensitivitySection } from "../sections/sensitivity.ts";
import { studyDataSection } from "../sections/study-data.ts";
import { methodsSection, referencesSection } from "../sections/study-report.ts";
import { trialSection } from "../sections/trial.ts";

/** What an extension agent asks: the flock as a study. */
export const extensionQuestions: readonly SectionMaker[] = [
  flockProfileSection,
  coverageSection,
  recordFlowSection,
  (input) => dietSection(input, "crude_protein"),
  (input) => dietSection(input, "copper"),
  growthSection,
  seasonsGrowthSection,
  growthSpreadSection,
  (input) => growthBySection(input, "ground"),
  (input) => growthBySection(input, "pen"),
  (input) => growthBySection(input, "age_band"),
  (input) => growthBySection(input, "class"),
  (input) => growthBySection(input, "arm"),
  lamenessSection,
  seasonsLamenessSection,
  (input) => lamenessBySection(input, "pen"),
  penMonthsSection,
  (input) => lamenessBySection(input, "ground"),
  (input) => lamenessBySection(input, "age_band"),
  retrimSection,
  retrimByGroundSection,
  (input) => associationSection(input, "growth"),
  (input) => associationSection(input, "lame"),
  (input) => associationSection(input, "new_lameness"),
  doseSection,
  trialSection,
  sensitivitySection,
  forecastSection,
  measurementSection,
  qualitySection,
  studyDataSection,
  methodsSection,
  referencesSection,
];
