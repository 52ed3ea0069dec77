import type { FlowStep } from "../../findings/record-flow.ts";
import type { Language } from "../../records/language.ts";
import { whole } from "../numbers.ts";
import { counter } from "./count.ts";

/** Words of the flock as a study: who was in it, how records became figures, methods, the reporting checklist. */
export interface StudyWords {
  readonly profileQuestion: string;
  readonly profileHeading: (animals: number, pens: number, soFar: boolean) => string;
  readonly traits: Readonly<Record<string, string>>;
  readonly values: Readonly<Record<string, string>>;
  readonly unknown: string;
  readonly coverageQuestion: string;
  readonly coverageHeading: (measured: number, scored: number, present: number) => string;
  readonly flowQuestion: string;
  readonly flowHeading: (used: number, of: number) => string;
  readonly flowSteps: Readonly<Record<FlowStep, string>>;
  readonly flowBook: string;
  readonly flowAside: string;
  readonly seasonsGrowthQuestion: string;
  readonly seasonsLamenessQuestion: string;
  readonly seasonsHeading: (
    measure: "growth" | "lameness",
    now: string,
    before: SeasonBeside | null,
  ) => string;
  readonly seasonsSentence: (
    measure: "growth" | "lameness",
    now: string,
    besides: readonly SeasonBeside[],
  ) => string;
  readonly seasonsSame: (season: string, same: NonNullable<SeasonBeside["same"]>) => string;
  readonly seasonsRests: (seasons: number) => string;
  readonly seasonsColumn: (measure: "growth" | "lameness") => string;
  readonly soFar: string;
  /** Below the axis; with record days ticked along the foot, what the ticks are. */
  readonly seasonAxis: (isTicked: boolean) => string;
  readonly seasonGrowthMeasure: (unit: string) => string;
  readonly seasonLamenessMeasure: string;
  readonly noFigure: string;
  readonly methodsQuestion: string;
  readonly methodsHeading: string;
  readonly referencesQuestion: string;
  readonly referencesHeading: string;
  readonly checklistQuestion: string;
  readonly checklistHeading: string;
  readonly yoursToWrite: string;
}

/** Another season beside this one: its figure, and the change since then where the analysis has one. */
export interface SeasonBeside {
  readonly season: string;
  readonly figure: string;
  readonly change: { readonly says: string; readonly direction: "up" | "down" | "unclear" } | null;
  /** The change over the animals of both seasons alone. */
  readonly same: { readonly animals: number; readonly says: string } | null;
}

const en = counter("en");
const es = counter("es");

export const studyWords: Readonly<Record<Language, StudyWords>> = {
  en: {
    profileQuestion: "Who is in the flock?",
    profileHeading: (animals, pens, soFar) =>
      `${en(animals, "goat", "goats")}${pens > 0 ? ` in ${en(pens, "pen", "pens")}` : ""} ${soFar ? "on the season's last day so far" : "at the season's end"}`,
    traits: {
      sex: "sex",
      age_band: "age",
      breed: "breed",
      purpose: "purpose",
      origin: "origin",
      line: "line",
      pen: "pen",
      ground: "ground",
      class: "class",
    },
    values: { female: "does", male: "bucks", wether: "wethers", unknown: "not known" },
    unknown: "not known",
    coverageQuestion: "How much of the flock do the figures rest on?",
    coverageHeading: (measured, scored, present) =>
      `Of ${en(present, "goat", "goats")} present, ${measured} had claws measured and ${scored} gait scored`,
    flowQuestion: "What became of the records?",
    flowHeading: (used, of) =>
      of === 0
        ? "No claw has two lengths this season to make an interval of"
        : `${whole(used, "en")} of ${en(of, "interval of one claw between two visits", "intervals of one claw between two visits")} ${used === 1 ? "counts" : "count"} toward growth`,
    flowSteps: {
      claw_records: "claw records of this season",
      claw_lengths: "… with a length",
      growth_intervals: "intervals between two lengths of a claw, their middle in this season",
      intervals_short: "… left out: too short",
      intervals_not_horn: "… left out: no horn grows or shrinks so",
      intervals_used: "… used for growth",
      gait_scores: "gait scores",
      gait_days: "… as one score a goat and day",
      gait_assumed: "… assumed sound from rounds",
      gait_for_cause: "… scored because they limped: left out of the day's figure",
      foot_examinations: "records of examined feet",
      lesions_suspected: "… only suspected: not counted",
      treatments: "treatments",
    },
    flowBook: "records of all seasons, as read from the sheets",
    flowAside: "… set aside",
    seasonsGrowthQuestion: "Did growth change from season to season?",
    seasonsLamenessQuestion: "Did lameness change from season to season?",
    seasonsHeading: (measure, now, before) => {
      const what = measure === "growth" ? "Growth" : "Lame on a day";
      if (before === null) return `${what}: ${now} this season`;
      const { season, figure, change } = before;
      switch (change?.direction) {
        case "up":
          return `${what}: ${now}, more than in ${season} (${figure})`;
        case "down":
          return `${what}: ${now}, less than in ${season} (${figure})`;
        case "unclear":
          return `${what}: ${now}, not clearly other than in ${season} (${figure})`;
        default:
          return `${what}: ${now} this season, ${figure} in ${season}`;
      }
    },
    seasonsSentence: (measure, now, besides) =>
      [
        `${measure === "growth" ? "Growth" : "Lame on a day"}: ${now} this season`,
        ...besides.map(
          ({ season, figure, change }) =>
            `${figure} in ${season}${change === null ? "" : `, a change of ${change.says}`}`,
        ),
      ]
        .join("; ")
        .concat("."),
    seasonsSame: (season, { animals, says }) =>
      `Against ${season}, ${animals === 1 ? "the 1 goat" : `the ${animals} goats`} of both seasons alone: a change of ${says}.`,
    seasonsRests: (seasons) => `${en(seasons, "season", "seasons")} with a figure; band: 95 % limits`,
    seasonsColumn: (measure) =>
      measure === "growth" ? "Growth, 95 % limits" : "Scores that were lame, 95 % limits",
    soFar: "The season is not over: its figure speaks of its days so far.",
    seasonAxis: (isTicked) => (isTicked ? "seasons; ticks are days with records" : "seasons"),
    seasonGrowthMeasure: (unit) => `growth, ${unit} a month`,
    seasonLamenessMeasure: "scores that were lame",
    noFigure: "no figure",
    methodsQuestion: "How was it worked out? Text to take over",
    methodsHeading: "Methods, ready to paste",
    referencesQuestion: "Which sources does it rest on?",
    referencesHeading: "References",
    checklistQuestion: "Where does each item of the reporting checklist stand?",
    checklistHeading:
      "The 22 items for observational studies in veterinary science (Sargeant et al. 2016), in our own words",
    yoursToWrite: "yours to write",
  },
  es: {
    profileQuestion: "¿Quiénes forman el rebaño?",
    profileHeading: (animals, pens, soFar) =>
      `${es(animals, "cabra", "cabras")}${pens > 0 ? ` en ${es(pens, "corral", "corrales")}` : ""} ${soFar ? "el último día de la temporada hasta ahora" : "al final de la temporada"}`,
    traits: {
      sex: "sexo",
      age_band: "edad",
      breed: "raza",
      purpose: "propósito",
      origin: "origen",
      line: "línea",
      pen: "corral",
      ground: "suelo",
      class: "clase",
    },
    values: {
      female: "hembras",
      male: "sementales",
      wether: "castrados",
      unknown: "no se sabe",
      dairy: "leche",
      meat: "carne",
      fibre: "fibra",
      show: "exposición",
      pet: "compañía",
      "home-bred": "nacidas aquí",
      bought: "compradas",
      loan: "prestadas",
    },
    unknown: "no se sabe",
    coverageQuestion: "¿En cuánto del rebaño se apoyan las cifras?",
    coverageHeading: (measured, scored, present) =>
      `De ${es(present, "cabra presente", "cabras presentes")}, a ${measured} se les midieron pezuñas y a ${scored} se les calificó la marcha`,
    flowQuestion: "¿Qué pasó con los registros?",
    flowHeading: (used, of) =>
      of === 0
        ? "Ninguna pezuña tiene dos largos esta temporada para formar un intervalo"
        : `${whole(used, "es")} de ${es(of, "intervalo de una pezuña entre dos visitas", "intervalos de una pezuña entre dos visitas")} ${used === 1 ? "cuenta" : "cuentan"} para el crecimiento`,
    flowSteps: {
      claw_records: "registros de pezuña de esta temporada",
      claw_lengths: "… con algún largo",
      growth_intervals: "intervalos entre dos largos de una pezuña, con su mitad en esta temporada",
      intervals_short: "… fuera: demasiado cortos",
      intervals_not_horn: "… fuera: ningún casco crece o mengua así",
      intervals_used: "… usados para el crecimiento",
      gait_scores: "calificaciones de marcha",
      gait_days: "… como una por cabra y día",
      gait_assumed: "… supuestas sanas por los recorridos",
      gait_for_cause: "… calificadas porque cojeaban: fuera de la cifra del día",
      foot_examinations: "registros de patas revisadas",
      lesions_suspected: "… solo sospecha: no cuentan",
      treatments: "tratamientos",
    },
    flowBook: "registros de todas las temporadas, leídos de las hojas",
    flowAside: "… apartados",
    seasonsGrowthQuestion: "¿Cambió el crecimiento de una temporada a otra?",
    seasonsLamenessQuestion: "¿Cambió la cojera de una temporada a otra?",
    seasonsHeading: (measure, now, before) => {
      const what = measure === "growth" ? "Crecimiento" : "Cojas en un día";
      if (before === null) return `${what}: ${now} esta temporada`;
      const { season, figure, change } = before;
      switch (change?.direction) {
        case "up":
          return `${what}: ${now}, más que en ${season} (${figure})`;
        case "down":
          return `${what}: ${now}, menos que en ${season} (${figure})`;
        case "unclear":
          return `${what}: ${now}, sin cambio claro desde ${season} (${figure})`;
        default:
          return `${what}: ${now} esta temporada, ${figure} en ${season}`;
      }
    },
    seasonsSentence: (measure, now, besides) =>
      [
        `${measure === "growth" ? "Crecimiento" : "Cojas en un día"}: ${now} esta temporada`,
        ...besides.map(
          ({ season, figure, change }) =>
            `${figure} en ${season}${change === null ? "" : `, un cambio de ${change.says}`}`,
        ),
      ]
        .join("; ")
        .concat("."),
    seasonsSame: (season, { animals, says }) =>
      `Frente a ${season}, solo ${animals === 1 ? "la cabra" : `las ${animals} cabras`} de ambas temporadas: un cambio de ${says}.`,
    seasonsRests: (seasons) =>
      `${es(seasons, "temporada con cifra", "temporadas con cifra")}; banda: límites del 95 %`,
    seasonsColumn: (measure) =>
      measure === "growth" ? "Crecimiento, límites del 95 %" : "Calificaciones con cojera, límites del 95 %",
    soFar: "La temporada no ha terminado: su cifra habla de los días que lleva.",
    seasonAxis: (isTicked) => (isTicked ? "temporadas; las marcas son días con registros" : "temporadas"),
    seasonGrowthMeasure: (unit) => `crecimiento, ${unit} al mes`,
    seasonLamenessMeasure: "calificaciones con cojera",
    noFigure: "sin cifra",
    methodsQuestion: "¿Cómo se calculó? Texto para usar",
    methodsHeading: "Métodos, listos para copiar",
    referencesQuestion: "¿En qué fuentes se apoya?",
    referencesHeading: "Referencias",
    checklistQuestion: "¿Dónde está cada punto de la lista de informe?",
    checklistHeading:
      "Los 22 puntos para estudios observacionales en ciencia veterinaria (Sargeant et al. 2016), en palabras nuestras",
    yoursToWrite: "le toca escribirlo",
  },
};
