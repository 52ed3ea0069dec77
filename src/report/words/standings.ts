import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";

/** Words of the list of goats by what was seen of them. It never says keep, and never says cull. */
export interface StandingWords {
  readonly question: string;
  readonly heading: (act: number, watch: number, present: number) => string;
  readonly standing: Readonly<Record<"act" | "watch", string>>;
  readonly openCase: string;
  readonly repeatCase: string;
  readonly severalCases: (cases: number) => string;
  readonly oneCase: string;
  readonly fastGrowth: (chance: string) => string;
  readonly fastGrowthClear: string;
  readonly overgrown: string;
  readonly nothingSeen: (goats: number) => string;
  readonly notLookedAt: (goats: number) => string;
  readonly notAPardon: string;
  readonly seen: string;
  readonly stripKey: string;
}

const en = counter("en");
const es = counter("es");

export const standingWords: Readonly<Record<Language, StandingWords>> = {
  en: {
    question: "Which goats want a decision, and which want watching?",
    heading: (act, watch, present) =>
      act + watch === 0
        ? `Nothing was seen this season in any of ${en(present, "goat", "goats")} looked at`
        : `${act === 0 ? "No goat wants" : en(act, "goat wants", "goats want")} action, ${watch} more ${watch === 1 ? "wants" : "want"} watching`,
    standing: { act: "act", watch: "watch" },
    openCase: "a case is still open",
    repeatCase: "a case came back within 180 days",
    severalCases: (cases) => `${en(cases, "case", "cases")} this season`,
    oneCase: "one case this season, since seen sound",
    fastGrowth: (chance) => `hooves grow faster than the flock's (${chance})`,
    fastGrowthClear: "hooves grew clearly faster than the flock's",
    overgrown: "badly overgrown at the last look",
    nothingSeen: (n) => `Nothing seen this season: ${en(n, "goat", "goats")}`,
    notLookedAt: (n) => `Not looked at this season, so nothing can be said: ${en(n, "goat", "goats")}`,
    notAPardon:
      "Nothing seen means that the looks of this season found nothing; it says nothing of what was not looked for.",
    seen: "What was seen",
    stripKey:
      "Strips of the last two years: bars above the line are gait scores, higher is lamer, thick counts as lame; marks below are findings on feet.",
  },
  es: {
    question: "¿Qué cabras piden una decisión y cuáles vigilancia?",
    heading: (act, watch, present) =>
      act + watch === 0
        ? `Esta temporada no se vio nada en ${es(present, "cabra revisada", "cabras revisadas")}`
        : `${act === 0 ? "Ninguna cabra pide" : es(act, "cabra pide", "cabras piden")} actuar y ${watch} más ${watch === 1 ? "pide" : "piden"} vigilancia`,
    standing: { act: "actuar", watch: "vigilar" },
    openCase: "un caso sigue abierto",
    repeatCase: "un caso volvió dentro de 180 días",
    severalCases: (cases) => `${es(cases, "caso", "casos")} esta temporada`,
    oneCase: "un caso esta temporada, ya vista sana",
    fastGrowth: (chance) => `las pezuñas le crecen más rápido que al rebaño (${chance})`,
    fastGrowthClear: "las pezuñas le crecieron claramente más rápido que al rebaño",
    overgrown: "muy crecida en la última revisión",
    nothingSeen: (n) => `Nada visto esta temporada: ${es(n, "cabra", "cabras")}`,
    notLookedAt: (n) =>
      `No revisadas esta temporada, así que nada se puede decir: ${es(n, "cabra", "cabras")}`,
    notAPardon:
      "Nada visto quiere decir que las revisiones de esta temporada no hallaron nada; no dice nada de lo que no se buscó.",
    seen: "Lo que se vio",
    stripKey:
      "Tiras de los últimos dos años: las barras sobre la línea son marchas, más alta es más coja, gruesa cuenta como cojera; las marcas de abajo son hallazgos en las patas.",
  },
};
