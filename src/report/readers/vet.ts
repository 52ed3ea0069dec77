import type { SectionMaker } from "../section.ts";
import { caseSection } from "../sections/cases.ts";
import { dietSection } from "../sections/diet.ts";
import { lamenessBySection, lamenessSection } from "../sections/lameness.ts";
import { lesionByPenSection, lesionSection } from "../sections/lesions.ts";
import { nextCheckSection, severeOvergrowthSection } from "../sections/next-checks.ts";
import { penMonthsSection } from "../sections/pen-months.ts";
import { seasonsLamenessSection } from "../sections/seasons.ts";
import { treatmentSection } from "../sections/treatments.ts";
import { trimQualitySection } from "../sections/trim-quality.ts";

/** What a vet asks: whom to see first, how many lame and where, what was found, what was done. */
export const vetQuestions: readonly SectionMaker[] = [
  nextCheckSection,
  lamenessSection,
  seasonsLamenessSection,
  (input) => lamenessBySection(input, "pen"),
  penMonthsSection,
  lesionSection,
  lesionByPenSection,
  caseSection,
  treatmentSection,
  severeOvergrowthSection,
  trimQualitySection,
  (input) => dietSection(input, "copper"),
  (input) => dietSection(input, "copper_to_molybdenum"),
];
