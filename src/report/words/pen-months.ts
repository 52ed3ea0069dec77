import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";

/** Words on lameness pen by pen and month by month, against what chance alone gives. */
export interface PenMonthsWords {
  readonly question: string;
  /** `places`: pens with their month, `Back lot in November 2025`. */
  readonly heading: (places: readonly string[], months: number) => string;
  readonly place: (pen: string, month: string) => string;
  /** `counts`: what the sum rests on, in words; may be empty. */
  readonly signal: (
    pen: string,
    from: string,
    to: string,
    lame: number,
    expected: string,
    counts: string,
  ) => string;
  readonly noSignal: string;
  readonly newCases: (months: readonly string[]) => string;
  readonly month: (month: string, cases: number) => string;
  readonly key: string;
  readonly says: (month: string, lame: number, scored: number, limit: string | null) => string;
  readonly above: string;
  readonly notKnown: string;
}

const en = counter("en");
const es = counter("es");

export const penMonthsWords: Readonly<Record<Language, PenMonthsWords>> = {
  en: {
    question: "Was any pen lamer than chance gives, and when?",
    heading: (places, months) =>
      places.length === 0
        ? months === 0
          ? "The season before tells too little to say what chance alone would give"
          : `None of ${en(months, "month of a pen", "months of pens")} this season stands above what chance gives`
        : `${places.join("; ")}: more lame scores than chance gives`,
    place: (pen, month) => `${pen} in ${month}`,
    signal: (pen, from, to, lame, expected, counts) =>
      `${pen}: ${from === to ? `on ${to} lame scores` : `from ${from} to ${to} lame scores added up and`} passed what chance gives (${lame} against ${expected} expected from the season before${counts === "" ? "" : `; ${counts}`}).`,
    noSignal: "No pen's running sum of lame scores passed its limit this season.",
    newCases: (months) => `New cases by month: ${months.join(", ")}.`,
    month: (month, cases) => `${month} ${cases}`,
    key: "Dots: share of scores that were lame. Band: what chance alone gives for so many scores, three standard errors around the season before (broken line). Ring: a month outside. Triangle: the running sum passed its limit.",
    says: (month, lame, scored, limit) =>
      `${month}: ${lame} of ${en(scored, "score", "scores")} lame${limit === null ? "" : `; chance gives up to ${limit}`}`,
    above: "above chance",
    notKnown: "season before too thin",
  },
  es: {
    question: "¿Cojeó algún corral más de lo que da el azar, y cuándo?",
    heading: (places, months) =>
      places.length === 0
        ? months === 0
          ? "La temporada anterior dice muy poco para saber qué daría solo el azar"
          : `Ninguno de ${es(months, "mes de corral", "meses de corral")} de esta temporada pasa de lo que da el azar`
        : `${places.join("; ")}: más calificaciones con cojera de las que da el azar`,
    place: (pen, month) => `${pen} en ${month}`,
    signal: (pen, from, to, lame, expected, counts) =>
      `${pen}: ${from === to ? `el ${to} las calificaciones con cojera` : `del ${from} al ${to} las calificaciones con cojera se sumaron y`} pasaron lo que da el azar (${lame} frente a ${expected} esperadas por la temporada anterior${counts === "" ? "" : `; ${counts}`}).`,
    noSignal: "En ningún corral la suma corrida de calificaciones con cojera pasó su límite esta temporada.",
    newCases: (months) => `Casos nuevos por mes: ${months.join(", ")}.`,
    month: (month, cases) => `${month} ${cases}`,
    key: "Puntos: parte de calificaciones con cojera. Banda: lo que da solo el azar para ese número, tres errores estándar alrededor de la temporada anterior (línea cortada). Anillo: un mes fuera. Triángulo: la suma corrida pasó su límite.",
    says: (month, lame, scored, limit) =>
      `${month}: ${lame} de ${es(scored, "calificación", "calificaciones")} con cojera${limit === null ? "" : `; el azar da hasta ${limit}`}`,
    above: "sobre el azar",
    notKnown: "temporada anterior muy escasa",
  },
};
