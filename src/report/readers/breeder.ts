import type { SectionMaker } from "../section.ts";
import { animalGrowthSection } from "../sections/animal-growth.ts";
import { growthBySection, growthSection } from "../sections/growth.ts";
import { lamenessBySection, lamenessSection } from "../sections/lameness.ts";
import { seasonsGrowthSection, seasonsLamenessSection } from "../sections/seasons.ts";
import { standingsSection } from "../sections/standings.ts";

/** What a breeder asks: which lines and which goats. */
export const breederQuestions: readonly SectionMaker[] = [
  (input) => growthBySection(input, "line"),
  (input) => lamenessBySection(input, "line"),
  standingsSection,
  animalGrowthSection,
  growthSection,
  seasonsGrowthSection,
  lamenessSection,
  seasonsLamenessSection,
];
