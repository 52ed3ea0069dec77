import type { SectionMaker } from "../section.ts";
import { growthSpreadSection } from "../sections/animal-growth.ts";
import { coverageSection, flockProfileSection } from "../sections/flock-profile.ts";
import { growthBySection, growthSection } from "../sections/growth.ts";
import { lamenessBySection, lamenessSection } from "../sections/lameness.ts";
import { measurementSection } from "../sections/measurement.ts";
import { qualitySection } from "../sections/quality.ts";
import { recordFlowSection } from "../sections/record-flow.ts";
import { retrimByGroundSection, retrimSection } from "../sections/retrim.ts";
import { seasonsGrowthSection, seasonsLamenessSection } from "../sections/seasons.ts";
import { methodsSection, referencesSection } from "../sections/study-report.ts";

/** What an extension agent asks: the flock as a study. */
export const extensionQuestions: readonly SectionMaker[] = [
  flockProfileSection,
  coverageSection,
  recordFlowSection,
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
  (input) => lamenessBySection(input, "ground"),
  (input) => lamenessBySection(input, "age_band"),
  retrimSection,
  retrimByGroundSection,
  measurementSection,
  qualitySection,
  methodsSection,
  referencesSection,
];
