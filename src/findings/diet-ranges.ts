/** What is published for a class of animal. Ranges known from memory only with low confidence are left out. */
export interface DietRange {
  readonly nutrient: DietNutrient;
  readonly animalClass: string;
  readonly lo: number | null;
  readonly hi: number | null;
  /** Highest level said to do no harm. */
  readonly tolerance: number | null;
  readonly source: string;
}

export const dietNutrients = ["crude_protein", "copper", "copper_to_molybdenum"] as const;
export type DietNutrient = (typeof dietNutrients)[number];

const goatClasses = ["kid", "growing", "late pregnant", "milking", "dry", "buck", "wether"] as const;

const ANR_812 = "National Research Council 1981 (No. 15), as quoted in Alabama extension ANR-812";
const TOLERANCE = "tolerance: National Research Council 2005, Mineral Tolerance of Animals (from memory)";
const HART = "Hart 2008, goats.extension.org";

/** Copper that goats need, mg/kg of dry matter, by class (National Research Council 2007). */
const copperOf: Readonly<Record<(typeof goatClasses)[number], number>> = {
  kid: 25,
  growing: 25,
  "late pregnant": 20,
  milking: 15,
  dry: 20,
  buck: 20,
  wether: 20,
};

const protein = (animalClass: string, lo: number, hi: number | null, source: string): DietRange => ({
  nutrient: "crude_protein",
  animalClass,
  lo,
  hi,
  tolerance: null,
  source,
});

/** Protein in % of dry matter: pounds of protein over pounds of dry matter, as the tables print them. */
export const dietRanges: readonly DietRange[] = [
  protein("dry", 8, 10, "extension article on winter feeding of meat goats (dry and early in kid)"),
  protein("late pregnant", (100 * 0.35) / 3.69, null, `${ANR_812} (112-lb doe)`),
  protein("wether", (100 * 0.17) / 2.13, null, `${ANR_812} (maintenance, 112 lb)`),
  protein(
    "growing",
    (100 * (0.17 + 0.09)) / (2.13 + 1.19),
    null,
    `${ANR_812} (112 lb gaining 0.33 lb a day)`,
  ),
  protein("buck", (100 * 0.26) / 3.55, null, "Langston University extension, feeding classes (200-lb buck)"),
  ...goatClasses.map(
    (animalClass): DietRange => ({
      nutrient: "copper",
      animalClass,
      lo: copperOf[animalClass],
      hi: null,
      tolerance: 40,
      source: `requirement: National Research Council 2007 (from memory); ${TOLERANCE}`,
    }),
  ),
  {
    nutrient: "copper",
    animalClass: "sheep",
    lo: null,
    hi: null,
    tolerance: 15,
    source: "Duncan 1997, In Practice 19:503",
  },
  ...goatClasses.map(
    (animalClass): DietRange => ({
      nutrient: "copper_to_molybdenum",
      animalClass,
      lo: 4,
      hi: null,
      tolerance: null,
      source: HART,
    }),
  ),
];
