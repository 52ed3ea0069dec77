import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";

/** Words on how well lengths were read, and on what in the records wants a look. */
export interface MeasuringWords {
  readonly question: string;
  readonly heading: (change: string) => string;
  readonly sentence: (error: string, pairs: number, change: string) => string;
  readonly axis: (unit: string) => string;
  readonly measurer: (n: number) => string;
  readonly to: string;
  readonly everyone: string;
  readonly pairs: string;
  readonly measures: Readonly<Record<string, string>>;
  readonly smallest: (unit: string) => string;
  readonly qualityQuestion: string;
  readonly qualityHeading: (flagged: number) => string;
  /** Checks and their advice in this language; what is not listed is shown as the table has it. */
  readonly checks: Readonly<Record<string, { readonly name: string; readonly advice: string }>>;
}

const en = counter("en");
const es = counter("es");

export const measuringWords: Readonly<Record<Language, MeasuringWords>> = {
  en: {
    question: "How well were claws measured?",
    heading: (change) => `Between two readings of one claw, less than ${change} may be the ruler's alone`,
    sentence: (error, pairs, change) =>
      `One reading errs by ${error} (standard deviation; ${en(pairs, "claw", "claws")} read more than once on a day). A change below ${change} between two single readings is not told from the ruler.`,
    axis: (unit) => `error of one reading, ${unit}, with 95 % limits`,
    measurer: (n) => `Measurer ${n}`,
    to: "to",
    everyone: "all together",
    pairs: "pairs",
    measures: { toe: "toe length", overhang: "overhang", mark: "distance of a mark" },
    smallest: (unit) => `Smallest change told, ${unit}`,
    qualityQuestion: "What in the records wants a look?",
    qualityHeading: (flagged) =>
      flagged === 0
        ? "Nothing in the records stood out"
        : `${en(flagged, "kind of record wants", "kinds of record want")} a look`,
    checks: {},
  },
  es: {
    question: "¿Qué tan bien se midieron las pezuñas?",
    heading: (change) => `Entre dos lecturas de una pezuña, menos de ${change} puede ser solo de la regla`,
    sentence: (error, pairs, change) =>
      `Una lectura yerra ${error} (desviación estándar; ${es(pairs, "pezuña leída", "pezuñas leídas")} más de una vez en un día). Un cambio menor de ${change} entre dos lecturas no se distingue de la regla.`,
    axis: (unit) => `error de una lectura, ${unit}, con límites del 95 %`,
    measurer: (n) => `Medidor ${n}`,
    to: "a",
    everyone: "todos juntos",
    pairs: "pares",
    measures: { toe: "largo de la punta", overhang: "saliente", mark: "distancia de una marca" },
    smallest: (unit) => `Menor cambio distinguible, ${unit}`,
    qualityQuestion: "¿Qué de los registros pide una mirada?",
    qualityHeading: (flagged) =>
      flagged === 0
        ? "Nada llamó la atención en los registros"
        : `${es(flagged, "tipo de registro pide", "tipos de registro piden")} una mirada`,
    checks: {
      "intervals too short to tell growth": {
        name: "intervalos demasiado cortos para decir el crecimiento",
        advice: "Nada que corregir: se listan y quedan fuera de los modelos.",
      },
      "changes of length that no horn can do": {
        name: "cambios de largo que ningún casco puede tener",
        advice: "Revise ambas lecturas y sus unidades.",
      },
      "intervals whose pen is not known": {
        name: "intervalos cuyo corral no se sabe",
        advice:
          "Dé las estancias o nombre el corral en la hoja de recortes: sin él no se sabe la exposición.",
      },
      "lengths that end in the same digit too often": {
        name: "largos que acaban demasiado en la misma cifra",
        advice:
          "Más de uno de cada cinco: la regla se lee al 5 mm más cercano; lea al milímetro o a 1/16 de pulgada.",
      },
      "trims without any length": {
        name: "recortes sin ningún largo",
        advice: "El largo antes y después dice cuánto crece el casco; una fecha sola, no.",
      },
      "gait scores given by more than one scorer a day": {
        name: "marchas calificadas por más de un observador en un día",
        advice: "Nombre el orden de observadores en flock.toml; los pares dicen también cuánto coinciden.",
      },
      "animals present but never looked at": {
        name: "animales presentes pero nunca revisados",
        advice: "Revíselos ahora, o dé el día en que salieron.",
      },
      "intervals far from what the growth model expects": {
        name: "intervalos lejos de lo que espera el modelo de crecimiento",
        advice: "Revise ambas lecturas.",
      },
    },
  },
};
