import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";

export interface AnimalsWords {
  readonly question: string;
  readonly heading: (animals: number) => string;
  readonly none: string;
  readonly key: (measure: "overhang" | "toe", target: string, limit: string) => readonly string[];
  readonly toTags: string;
  readonly part: (n: number) => string;
  readonly gait: string;
  readonly lesions: string;
  readonly treatments: string;
  readonly wholeAnimal: string;
  readonly born: (when: string) => string;
  readonly line: (line: string) => string;
  readonly sex: Readonly<Record<string, string>>;
  readonly notPresent: string;
  readonly panelSays: (claws: number, visits: number, scores: number, lame: number) => string;
  readonly stripSays: (scores: number, lame: number, lesions: number) => string;
  readonly growth: (rate: string, intervals: number) => string;
  readonly check: (day: string, reason: string) => string;
  readonly expected: (length: string, claw: string, chance: string) => string;
  readonly healed: string;
  readonly suspected: string;
  readonly treated: string;
  readonly earlier: (count: number) => string;
  readonly nothing: string;
}

const en = counter("en");
const es = counter("es");

export const animalsWords: Readonly<Record<Language, AnimalsWords>> = {
  en: {
    question: "Goat by goat: claws, gait, findings and treatments over two years",
    heading: (n) => `${en(n, "goat", "goats")} this season`,
    none: "No goat is on record as present this season",
    key: (measure, target, limit) => [
      measure === "overhang"
        ? "Each row is a claw: the line is how far the wall stands past the pad, the drops are trims."
        : "Each row is a claw: the line is the toe's length, the drops are trims.",
      ...(measure === "overhang"
        ? [
            `Thin line: what a trim should leave (${target}). Broken line: the limit for the next trim (${limit}).`,
          ]
        : []),
      "Gait: a higher bar is lamer; thick bars count as lame. The shaded time is this season.",
    ],
    toTags: "All goats of this page",
    part: (n) => `part ${n}`,
    gait: "gait",
    lesions: "findings",
    treatments: "treatments",
    wholeAnimal: "all feet",
    born: (when) => `born ${when}`,
    line: (line) => `${line} line`,
    sex: { female: "doe", male: "buck", wether: "wether" },
    notPresent: "pen not known",
    panelSays: (claws, visits, scores, lame) =>
      `${en(claws, "claw", "claws")} over ${en(visits, "visit", "visits")}; ${en(scores, "gait score", "gait scores")}, ${lame} of them lame`,
    stripSays: (scores, lame, lesions) =>
      `${en(scores, "gait score", "gait scores")}, ${lame} of them lame; ${en(lesions, "finding", "findings")}`,
    growth: (rate, intervals) =>
      `Hooves grew ${rate} this season (${en(intervals, "interval", "intervals")}).`,
    check: (day, reason) => `Check by ${day}: ${reason}.`,
    expected: (length, claw, chance) =>
      `Longest claw then about ${length}${claw === "" ? "" : ` (${claw})`}${chance === "" ? "" : `; ${chance} that one is past the limit`}.`,
    healed: "seen healed",
    suspected: "suspected",
    treated: "treated:",
    earlier: (n) => `${en(n, "earlier day is", "earlier days are")} drawn above.`,
    nothing: "No finding and no treatment on record.",
  },
  es: {
    question: "Cabra por cabra: pezuñas, marcha, hallazgos y tratamientos en dos años",
    heading: (n) => `${es(n, "cabra", "cabras")} esta temporada`,
    none: "Ninguna cabra figura como presente esta temporada",
    key: (measure, target, limit) => [
      measure === "overhang"
        ? "Cada renglón es una pezuña: la línea es cuánto sobresale la pared de la palma, las caídas son recortes."
        : "Cada renglón es una pezuña: la línea es el largo de la punta, las caídas son recortes.",
      ...(measure === "overhang"
        ? [
            `Línea fina: lo que debe dejar un recorte (${target}). Línea cortada: el límite para el siguiente (${limit}).`,
          ]
        : []),
      "Marcha: barra más alta, más coja; las barras gruesas cuentan como cojera. Lo sombreado es esta temporada.",
    ],
    toTags: "Todas las cabras de esta página",
    part: (n) => `parte ${n}`,
    gait: "marcha",
    lesions: "hallazgos",
    treatments: "tratamientos",
    wholeAnimal: "todas las patas",
    born: (when) => `nacida ${when}`,
    line: (line) => `línea ${line}`,
    sex: { female: "hembra", male: "semental", wether: "castrado" },
    notPresent: "corral no conocido",
    panelSays: (claws, visits, scores, lame) =>
      `${es(claws, "pezuña", "pezuñas")} en ${es(visits, "visita", "visitas")}; ${es(scores, "calificación", "calificaciones")} de marcha, ${lame} con cojera`,
    stripSays: (scores, lame, lesions) =>
      `${es(scores, "calificación", "calificaciones")} de marcha, ${lame} con cojera; ${es(lesions, "hallazgo", "hallazgos")}`,
    growth: (rate, intervals) =>
      `Las pezuñas crecieron ${rate} esta temporada (${es(intervals, "intervalo", "intervalos")}).`,
    check: (day, reason) => `Revisar antes del ${day}: ${reason}.`,
    expected: (length, claw, chance) =>
      `La pezuña más larga, entonces cerca de ${length}${claw === "" ? "" : ` (${claw})`}${chance === "" ? "" : `; ${chance} de que una pase el límite`}.`,
    healed: "vista sana",
    suspected: "sospecha",
    treated: "tratamiento:",
    earlier: (n) =>
      `${es(n, "entrada anterior está dibujada", "entradas anteriores están dibujadas")} arriba.`,
    nothing: "Sin hallazgos ni tratamientos registrados.",
  },
};
