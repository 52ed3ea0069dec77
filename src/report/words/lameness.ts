import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";
import type { EndInWords } from "./groups.ts";

export interface LamenessWords {
  readonly question: string;
  readonly heading: (lame: number, scored: number) => string;
  readonly none: string;
  readonly sentence: (lame: number, scored: number, share: string) => string;
  readonly point: (share: string, scores: number) => string;
  readonly withForCause: (share: string) => string;
  readonly withoutAssumed: (share: string) => string;
  readonly severe: (scores: number) => string;
  readonly incidence: (cases: number, rate: string, gap: string) => string;
  readonly onset: (rate: string) => string;
  readonly recovery: (days: string) => string;
  /** Said where lines stand as they are, beside a model that takes their pens out. */
  readonly asTheyStood: string;
  readonly byQuestion: Readonly<Record<"pen" | "line" | "ground" | "age_band", string>>;
  readonly byHeading: (most: string, least: string, apart: boolean) => string;
  /** The same for the short answer, each end with its figure. */
  readonly byAnswer: (most: EndInWords, least: EndInWords) => string;
  readonly tooFewGroups: string;
  readonly axis: string;
  readonly rests: (animals: number, scores: number) => string;
}

const en = counter("en");
const es = counter("es");

export const lamenessWords: Readonly<Record<Language, LamenessWords>> = {
  en: {
    question: "How much of the flock is lame?",
    heading: (lame, scored) =>
      scored === 1
        ? lame === 0
          ? "The 1 goat scored was not lame"
          : "The 1 goat scored was lame"
        : lame === 0
          ? `None of ${scored} goats scored was lame`
          : `${lame} of ${scored} goats scored ${lame === 1 ? "was" : "were"} lame at some time`,
    none: "No gait scores this season, so lameness cannot be told",
    sentence: (lame, scored, share) =>
      lame === 0
        ? `None of ${en(scored, "goat", "goats")} scored was lame, which leaves room for up to ${share}.`
        : `${lame} of ${en(scored, "goat", "goats")} scored ${lame === 1 ? "was" : "were"} lame at some time: ${share}.`,
    point: (share, scores) => `On a day, ${share} were lame (${en(scores, "score", "scores")}).`,
    withForCause: (share) => `With the scores given because a goat limped it would read ${share}.`,
    withoutAssumed: (share) => `Without the scores assumed sound from rounds it would read ${share}.`,
    severe: (scores) =>
      scores === 0 ? "" : `${en(scores, "score", "scores")} stood at the scale's mark of severe lameness.`,
    incidence: (cases, rate, gap) =>
      cases === 0
        ? "No new case was seen between two scores."
        : `${en(cases, "new case of lameness was", "new cases of lameness were")} seen, ${rate} per 100 goat-months, with scores about ${gap} days apart.`,
    onset: (rate) =>
      `Allowing for what happens between two scores, new lameness came at ${rate} per 100 goat-months.`,
    recovery: (days) => `Half of lame goats were sound again within about ${days} days.`,
    asTheyStood:
      "As they stood: pen and age are still in it. A line kept in a wet pen looks lamer here; the picture of all seasons takes that out.",
    byQuestion: {
      pen: "Where are the lame ones?",
      line: "Which lines were lame most often this season, in the pens they stood in?",
      ground: "Does lameness go with the ground?",
      age_band: "Does lameness go with age?",
    },
    byHeading: (most, least, apart) =>
      apart
        ? `Lameness was most common ${most}, least ${least}`
        : `No clear difference: lameness was highest ${most}, but the intervals overlap`,
    byAnswer: (most, least) =>
      `Lameness was most common ${most.place}, ${most.says} of scores in ${en(most.animals, "goat", "goats")}, and least ${least.place}, ${least.says} in ${en(least.animals, "goat", "goats")}.`,
    tooFewGroups: "Too few goats scored in all but one group to compare",
    axis: "scores that were lame, with 95 % limits",
    rests: (animals, scores) => `${en(animals, "goat", "goats")}, ${en(scores, "score", "scores")}`,
  },
  es: {
    question: "¿Cuánto del rebaño cojea?",
    heading: (lame, scored) =>
      scored === 1
        ? lame === 0
          ? "La única cabra calificada no cojeaba"
          : "La única cabra calificada cojeaba"
        : lame === 0
          ? `Ninguna de las ${scored} cabras calificadas cojeaba`
          : `${lame} de ${scored} cabras calificadas ${lame === 1 ? "cojeó" : "cojearon"} alguna vez`,
    none: "Sin calificaciones de marcha esta temporada no se puede saber la cojera",
    sentence: (lame, scored, share) =>
      lame === 0
        ? `Ninguna de ${es(scored, "cabra calificada", "cabras calificadas")} cojeaba, lo que deja lugar a hasta ${share}.`
        : `${lame} de ${es(scored, "cabra calificada", "cabras calificadas")} ${lame === 1 ? "cojeó" : "cojearon"} alguna vez: ${share}.`,
    point: (share, scores) => `En un día cojeaba ${share} (${es(scores, "calificación", "calificaciones")}).`,
    withForCause: (share) => `Con las calificaciones dadas porque una cabra cojeaba diría ${share}.`,
    withoutAssumed: (share) => `Sin las calificaciones supuestas sanas por los recorridos diría ${share}.`,
    severe: (scores) =>
      scores === 0
        ? ""
        : `${es(scores, "calificación llegó", "calificaciones llegaron")} a la marca de cojera grave de la escala.`,
    incidence: (cases, rate, gap) =>
      cases === 0
        ? "No se vio ningún caso nuevo entre dos calificaciones."
        : `${cases === 1 ? "Se vio 1 caso nuevo de cojera" : `Se vieron ${cases} casos nuevos de cojera`}, ${rate} por 100 cabra-meses, con unos ${gap} días entre calificaciones.`,
    onset: (rate) =>
      `Contando lo que pasa entre dos calificaciones, la cojera nueva llegó a ${rate} por 100 cabra-meses.`,
    recovery: (days) => `La mitad de las cojas estaba sana otra vez en unos ${days} días.`,
    asTheyStood:
      "Tal como estaban: corral y edad siguen dentro. Una línea en un corral mojado parece cojear más aquí; la figura de todas las temporadas lo descuenta.",
    byQuestion: {
      pen: "¿Dónde están las cojas?",
      line: "¿Qué líneas cojearon más esta temporada, en los corrales donde estaban?",
      ground: "¿Va la cojera con el suelo?",
      age_band: "¿Va la cojera con la edad?",
    },
    byHeading: (most, least, apart) =>
      apart
        ? `Hubo más cojera ${most} y menos ${least}`
        : `Sin diferencia clara: la cojera fue mayor ${most}, pero los intervalos se cruzan`,
    byAnswer: (most, least) =>
      `Hubo más cojera ${most.place}, ${most.says} de las calificaciones en ${es(most.animals, "cabra", "cabras")}, y menos ${least.place}, ${least.says} en ${es(least.animals, "cabra", "cabras")}.`,
    tooFewGroups: "Muy pocas cabras calificadas en todos los grupos menos uno para comparar",
    axis: "calificaciones con cojera, con límites del 95 %",
    rests: (animals, scores) =>
      `${es(animals, "cabra", "cabras")}, ${es(scores, "calificación", "calificaciones")}`,
  },
};
