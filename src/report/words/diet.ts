import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";

export type Nutrient = "copper" | "crude_protein" | "copper_to_molybdenum";

/** Words on what the pens ate against published ranges, and on study arms. */
export interface DietWords {
  readonly question: Readonly<Record<Nutrient, string>>;
  readonly sheep: (pens: number) => string;
  readonly above: (nutrient: Nutrient, pens: number) => string;
  readonly below: (nutrient: Nutrient, pens: number) => string;
  readonly within: (nutrient: Nutrient, pens: number) => string;
  readonly noRange: (nutrient: Nutrient) => string;
  readonly axis: Readonly<Record<Nutrient, string>>;
  readonly unit: Readonly<Record<Nutrient, string>>;
  readonly rests: (pens: number) => string;
  readonly sheepClass: string;
  readonly columns: Readonly<Record<"class" | "from" | "value" | "range" | "verdict" | "source", string>>;
  /** How a diet stands against what is published, in a word. */
  readonly stands: Readonly<Record<"below" | "within" | "above" | "noRange", string>>;
  readonly upTo: (most: string) => string;
  readonly atLeast: (least: string) => string;
  readonly trialQuestion: string;
  readonly trialHeading: (apart: number) => string;
  readonly trialSentence: (
    outcome: "growth" | "lame",
    arm: string,
    against: string,
    difference: string,
    units: string,
  ) => string;
  readonly trialUnits: (unit: string, count: number) => string;
  readonly trialBeforeAfter: string;
  readonly trialColumns: Readonly<Record<"arms" | "outcome" | "difference" | "units", string>>;
  readonly outcome: Readonly<Record<string, string>>;
}

const en = counter("en");
const es = counter("es");

const englishName: Readonly<Record<Nutrient, string>> = {
  copper: "copper",
  crude_protein: "crude protein",
  copper_to_molybdenum: "copper to molybdenum",
};
const spanishName: Readonly<Record<Nutrient, string>> = {
  copper: "el cobre",
  crude_protein: "la proteína cruda",
  copper_to_molybdenum: "el cobre por molibdeno",
};
const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const dietWords: Readonly<Record<Language, DietWords>> = {
  en: {
    question: {
      copper: "Does the diet's copper lie within what is published?",
      crude_protein: "Does the diet's protein meet what is published?",
      copper_to_molybdenum: "Is there enough copper for the molybdenum?",
    },
    sheep: (pens) => `Copper stood above what sheep tolerate in ${en(pens, "pen", "pens")} that sheep share`,
    above: (nutrient, pens) =>
      `${capital(englishName[nutrient])} stood above the published ${nutrient === "copper" ? "maximum" : "range"} in ${en(pens, "pen", "pens")}`,
    below: (nutrient, pens) =>
      `${capital(englishName[nutrient])} stood below the published requirement in ${en(pens, "pen", "pens")}`,
    within: (nutrient, pens) =>
      `${capital(englishName[nutrient])} lay within what is published in ${pens === 1 ? "the 1 pen" : `all ${pens} pens`} with a figure`,
    noRange: (nutrient) =>
      `No range with a source is published for the ${englishName[nutrient]} of these goats`,
    axis: {
      copper: "mg of copper per kg of dry matter; band: requirement to maximum",
      crude_protein: "% of dry matter; band: published range",
      copper_to_molybdenum: "copper to molybdenum; band: from the published least",
    },
    unit: { copper: "mg/kg", crude_protein: "%", copper_to_molybdenum: "" },
    rests: (pens) => `${en(pens, "pen", "pens")}; the season's latest diet of each pen and class`,
    sheepClass: "sheep",
    columns: {
      class: "Animals",
      from: "From",
      value: "Diet",
      range: "Published",
      verdict: "Stands",
      source: "Ranges from",
    },
    stands: { below: "below", within: "within", above: "above", noRange: "none published" },
    upTo: (most) => `up to ${most}`,
    atLeast: (least) => `from ${least}`,
    trialQuestion: "What do the study's arms differ by?",
    trialHeading: (apart) =>
      apart === 0
        ? "The study's arms do not differ beyond what chance gives"
        : `${en(apart, "comparison of arms stands", "comparisons of arms stand")} clear of no difference`,
    trialSentence: (outcome, arm, against, difference, units) =>
      outcome === "growth"
        ? `Growth in ${arm} less that in ${against}: ${difference} (${units}).`
        : `Share of lame scores in ${arm} less that in ${against}: ${difference} (${units}).`,
    trialUnits: (unit, count) =>
      unit === "pen"
        ? `${en(count, "pen", "pens")} an arm at least`
        : `${en(count, "goat", "goats")} an arm at least`,
    trialBeforeAfter: "Each unit is set against its own records before the study.",
    trialColumns: {
      arms: "Arms",
      outcome: "Outcome",
      difference: "Difference, 95 % limits",
      units: "Units an arm",
    },
    outcome: { growth: "growth", lame: "lame scores" },
  },
  es: {
    question: {
      copper: "¿Está el cobre de la dieta dentro de lo publicado?",
      crude_protein: "¿Cumple la proteína de la dieta lo publicado?",
      copper_to_molybdenum: "¿Hay cobre bastante para el molibdeno?",
    },
    sheep: (pens) =>
      `El cobre pasó lo que toleran las ovejas en ${es(pens, "corral", "corrales")} que comparten ovejas`,
    above: (nutrient, pens) =>
      `${capital(spanishName[nutrient])} pasó ${nutrient === "copper" ? "el máximo" : "el intervalo"} publicado en ${es(pens, "corral", "corrales")}`,
    below: (nutrient, pens) =>
      `${capital(spanishName[nutrient])} quedó bajo el requerimiento publicado en ${es(pens, "corral", "corrales")}`,
    within: (nutrient, pens) =>
      `${capital(spanishName[nutrient])} quedó dentro de lo publicado en ${pens === 1 ? "el único corral" : `los ${pens} corrales`} con cifra`,
    noRange: (nutrient) =>
      `No hay intervalo publicado con fuente para ${spanishName[nutrient]} de estas cabras`,
    axis: {
      copper: "mg de cobre por kg de materia seca; banda: requerimiento a máximo",
      crude_protein: "% de la materia seca; banda: intervalo publicado",
      copper_to_molybdenum: "cobre por molibdeno; banda: desde el mínimo publicado",
    },
    unit: { copper: "mg/kg", crude_protein: "%", copper_to_molybdenum: "" },
    rests: (pens) =>
      `${es(pens, "corral", "corrales")}; la última dieta de la temporada de cada corral y clase`,
    sheepClass: "ovejas",
    columns: {
      class: "Animales",
      from: "Desde",
      value: "Dieta",
      range: "Publicado",
      verdict: "Está",
      source: "Intervalos de",
    },
    stands: { below: "por debajo", within: "dentro", above: "por encima", noRange: "nada publicado" },
    upTo: (most) => `hasta ${most}`,
    atLeast: (least) => `desde ${least}`,
    trialQuestion: "¿En qué difieren los grupos del estudio?",
    trialHeading: (apart) =>
      apart === 0
        ? "Los grupos del estudio no difieren más de lo que da el azar"
        : `${es(apart, "comparación de grupos queda", "comparaciones de grupos quedan")} fuera de 'sin diferencia'`,
    trialSentence: (outcome, arm, against, difference, units) =>
      outcome === "growth"
        ? `Crecimiento en ${arm} menos el de ${against}: ${difference} (${units}).`
        : `Parte de calificaciones con cojera en ${arm} menos la de ${against}: ${difference} (${units}).`,
    trialUnits: (unit, count) =>
      unit === "pen"
        ? `al menos ${es(count, "corral", "corrales")} por grupo`
        : `al menos ${es(count, "cabra", "cabras")} por grupo`,
    trialBeforeAfter: "Cada unidad se compara con sus propios registros de antes del estudio.",
    trialColumns: {
      arms: "Grupos",
      outcome: "Resultado",
      difference: "Diferencia, límites del 95 %",
      units: "Unidades por grupo",
    },
    outcome: { growth: "crecimiento", lame: "calificaciones con cojera" },
  },
};
