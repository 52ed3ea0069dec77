import type { SectionMaker } from "../section.ts";
import { animalGrowthSection } from "../sections/animal-growth.ts";
import { breedingLineSection } from "../sections/breeding-lines.ts";
import { inbreedingSection, sireSection } from "../sections/breeding-values.ts";
import { growthBySection, growthSection } from "../sections/growth.ts";
import { lamenessBySection, lamenessSection } from "../sections/lameness.ts";
import { seasonsGrowthSection, seasonsLamenessSection } from "../sections/seasons.ts";
import { standingsSection } from "../sections/standings.ts";

/** What a breeder asks: which lines and which goats. */
export const breederQuestions: readonly SectionMaker[] = [
  (input) => breedingLineSection(input, "growth"),
  (input) => breedingLineSection(input, "lameness"),
  (input) => growthBySection(input, "line"),
  (input) => lamenessBySection(input, "line"),
  standingsSection,
  (input) => sireSection(input, "growth"),
  (input) => sireSection(input, "lameness"),
  inbreedingSection,
  animalGrowthSection,
  growthSection,
  seasonsGrowthSection,
  lamenessSection,
  seasonsLamenessSection,
];
