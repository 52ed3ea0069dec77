import type { Caution } from "./cautions.ts";

const entry = (args: string, en: string, es: string): Caution => ({
  args: args === "" ? [] : args.split(","),
  says: { en, es },
});

/** How a diet stands against what is published for a class of animal. */
export const dietCodes = {
  diet_below: entry("", "below the published requirement", "por debajo del requerimiento publicado"),
  diet_meets: entry("", "meets the published requirement", "cumple el requerimiento publicado"),
  diet_above_range: entry("", "above the published range", "por encima del intervalo publicado"),
  diet_no_range: entry(
    "",
    "no published range with a source for this class",
    "sin intervalo publicado con fuente para esta clase",
  ),
  copper_below: entry(
    "",
    "below the published copper requirement; how much is absorbed depends on molybdenum, sulphur and iron: have liver or blood tested and ask the vet before any change",
    "por debajo del requerimiento publicado de cobre; cuánto se absorbe depende de molibdeno, azufre y hierro: analice hígado o sangre y consulte al veterinario antes de cambiar nada",
  ),
  copper_meets: entry(
    "",
    "between the published requirement and the published maximum",
    "entre el requerimiento y el máximo publicados",
  ),
  copper_above_tolerance: entry(
    "",
    "above the published maximum: copper builds up in the liver; ask the vet now, add up feed, mineral, bolus and footbath, and have tests made",
    "por encima del máximo publicado: el cobre se acumula en el hígado; consulte ya al veterinario, sume alimento, mineral, bolo y pediluvio, y pida análisis",
  ),
  copper_kills_sheep: entry(
    "",
    "above what sheep tolerate, and sheep share this pen: keep them off this feed and mineral, and ask the vet",
    "por encima de lo que toleran las ovejas, y hay ovejas en este corral: aléjelas de este alimento y mineral, y consulte al veterinario",
  ),
  copper_under_sheep_limit: entry(
    "",
    "under what sheep are said to tolerate where molybdenum is normal",
    "por debajo de lo que se dice que toleran las ovejas con molibdeno normal",
  ),
  thin_molybdenum: entry(
    "",
    "less copper to molybdenum than advised: copper is tied up",
    "menos cobre por molibdeno que lo aconsejado: el cobre queda bloqueado",
  ),
} as const satisfies Record<string, Caution>;
