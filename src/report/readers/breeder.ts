import type { SectionMaker } from "../section.ts";
import { animalGrowthSection } from "../sections/animal-growth.ts";
import { growthBySection, growthSection } from "../sections/growth.ts";
import { lamenessBySection, lamenessSection } from "../sections/lameness.ts";

/** What a breeder asks: which lines and which goats. */
export const breederQuestions: readonly SectionMaker[] = [
  (input) => growthBySection(input, "line"),
  (input) => lamenessBySection(input, "line"),
  animalGrowthSection,
  growthSection,
  lamenessSection,
];
