import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";

export type Outcome = "growth" | "lame" | "new_lameness";

/** Words on what goes with growth and lameness; never that one brings about the other. */
export interface AssociationWords {
  readonly question: Readonly<Record<Outcome, string>>;
  readonly outcome: Readonly<Record<string, string>>;
  readonly heading: (claims: readonly string[], outcome: Outcome) => string;
  readonly noneAsked: (outcome: Outcome) => string;
  /** The models were asked and gave no figure. */
  readonly unsettled: (outcome: Outcome) => string;
  readonly claim: (
    exposure: string,
    outcome: Outcome,
    per: string,
    effect: string,
    goesUp: boolean,
  ) => string;
  readonly exposure: Readonly<Record<string, string>>;
  readonly level: Readonly<Record<string, string>>;
  readonly control: string;
  readonly axis: (outcome: Outcome, unit: string) => string;
  readonly ends: Readonly<Record<Outcome, { readonly less: string; readonly more: string }>>;
  readonly noDifference: string;
  readonly rests: (rows: number, animals: number, pens: number) => string;
  readonly runsOff: string;
  readonly whatItIsNot: string;
  readonly columns: Readonly<
    Record<"exposure" | "level" | "effect" | "df" | "p" | "q" | "eValue" | "adjusted", string>
  >;
  readonly sensitivityQuestion: string;
  readonly sensitivityHeading: (turned: number, of: number) => string;
  /** How the table of checks reads, and where the rest of its figures are. */
  readonly sensitivityText: string;
  /** Heads of the table of checks: what was asked, and the figures with one place left out. */
  readonly asked: string;
  readonly oneLeftOut: string;
  readonly pointsOtherWay: string;
  /** An outcome with what its figures are. */
  readonly measured: (outcome: string, unit: string) => string;
  readonly check: Readonly<Record<string, string>>;
  readonly withoutPlace: (place: string) => string;
  readonly lag: (days: number) => string;
  readonly doseQuestion: string;
  readonly doseHeading: (bent: number, of: number) => string;
  readonly doseMeasure: (outcome: Outcome, unit: string) => string;
  /** What a condition is measured in along a curve's foot. */
  readonly exposureUnit: Readonly<Record<string, string>>;
}

const en = counter("en");
const es = counter("es");

const joined = (names: readonly string[], and: string): string =>
  names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} ${and} ${names.at(-1)}`;

export const associationWords: Readonly<Record<Language, AssociationWords>> = {
  en: {
    question: {
      growth: "What goes with faster growth?",
      lame: "What goes with being lame on a day?",
      new_lameness: "What goes with going lame?",
    },
    outcome: {
      growth: "growth",
      lame: "lame on a day",
      new_lameness: "new lameness",
      time_to_retrim: "time to the next trim",
    },
    heading: (claims, outcome) =>
      claims.length === 0
        ? `Nothing that was asked goes with ${{ growth: "growth", lame: "lameness", new_lameness: "going lame" }[outcome]} beyond what chance gives`
        : `${joined(claims, "and")} ${claims.length === 1 ? "goes" : "go"} with ${{ growth: "growth", lame: "lameness", new_lameness: "going lame" }[outcome]}`,
    unsettled: (outcome) =>
      `What goes with ${{ growth: "growth", lame: "lameness", new_lameness: "going lame" }[outcome]} could not be told`,
    noneAsked: (outcome) =>
      `No condition of the pens changed enough to be asked about ${{ growth: "growth", lame: "lameness", new_lameness: "going lame" }[outcome]}`,
    claim: (exposure, outcome, per, effect, goesUp) =>
      outcome === "growth"
        ? `${exposure}: in the same pens, growth was ${goesUp ? "faster" : "slower"} ${per}, by ${effect}.`
        : `${exposure}: in the same pens, the ${outcome === "lame" ? "odds of a lame score" : "rate of new lameness"} ${goesUp ? "rose" : "fell"} ${per}, by a ratio of ${effect}.`,
    exposure: {
      crude_protein: "crude protein",
      copper_diet: "copper in the diet",
      mineral_copper: "copper from minerals",
      zinc: "zinc in the diet",
      wetness: "wet ground",
    },
    level: {
      within_pen: "same pens over time",
      between_pen: "pens beside each other",
      between_flock: "flocks beside each other",
      overall: "both together",
    },
    control: "what came after (control)",
    axis: (outcome, unit) =>
      outcome === "growth"
        ? `difference of growth, ${unit} a month, with 95 % limits`
        : outcome === "lame"
          ? "odds ratio of a lame score, with 95 % limits"
          : "ratio of new lameness, with 95 % limits",
    ends: {
      growth: { less: "slower", more: "faster" },
      lame: { less: "less lameness", more: "more lameness" },
      new_lameness: { less: "less lameness", more: "more lameness" },
    },
    noDifference: "no difference",
    rests: (rows, animals, pens) =>
      `${en(rows, "row", "rows")} of ${en(animals, "goat", "goats")} in ${en(pens, "pen", "pens")}, all seasons`,
    runsOff: "Arrowheads: limits go on past the axis; the table has them",
    whatItIsNot:
      "These go together; what was not recorded may stand behind them, and changing one need not change the other.",
    columns: {
      exposure: "Condition",
      level: "Compared",
      effect: "Effect, 95 % limits",
      df: "df",
      p: "p",
      q: "q",
      eValue: "E-value",
      adjusted: "Adjusted for",
    },
    sensitivityQuestion: "Do the answers hold when asked another way?",
    sensitivityHeading: (turned, of) =>
      turned === 0
        ? `None of ${en(of, "check", "checks")} points the other way with limits clear of no difference`
        : `${turned} of ${en(of, "check", "checks")} ${turned === 1 ? "points" : "point"} the other way with limits clear of no difference`,
    sensitivityText:
      "Each row is one answer, in the same pens over time, with the figures of its checks beside it, with 95 % limits. Of the places left out one at a time, the two that move the figure furthest down and up are shown, and any that turns it; with their limits all stand in results/association.csv.",
    asked: "asked of",
    oneLeftOut: "one place left out",
    pointsOtherWay: "the other way",
    measured: (outcome, unit) =>
      ({
        growth: `growth: difference, ${unit} a month`,
        lame: "lame on a day: odds ratio",
        new_lameness: "new lameness: ratio of rates",
      })[outcome] ?? outcome,
    check: {
      unadjusted: "not adjusted",
      other_lag: "other window",
      future_exposure: "what came after (control)",
      past_beside_future: "with what came after beside it",
      month_fixed: "months fixed",
      main: "main",
    },
    withoutPlace: (place) => `without ${place}`,
    lag: (days) => `${days} days before`,
    doseQuestion: "Is the line straight across the range?",
    doseHeading: (bent, of) =>
      bent === 0
        ? `None of ${en(of, "curve bends", "curves bends")} beyond what chance gives`
        : `${bent} of ${en(of, "curve", "curves")} ${bent === 1 ? "bends" : "bend"} beyond what chance gives`,
    exposureUnit: {
      crude_protein: "% of dry matter",
      copper_diet: "mg/kg of dry matter",
      mineral_copper: "mg a day",
      zinc: "mg/kg of dry matter",
      wetness: "score of wetness",
    },
    doseMeasure: (outcome, unit) =>
      outcome === "growth"
        ? `growth against the usual, ${unit} a month`
        : outcome === "lame"
          ? "odds of a lame score against the usual"
          : "new lameness against the usual",
  },
  es: {
    question: {
      growth: "¿Qué va junto con crecer más rápido?",
      lame: "¿Qué va junto con cojear en un día?",
      new_lameness: "¿Qué va junto con empezar a cojear?",
    },
    outcome: {
      growth: "crecimiento",
      lame: "cojera en un día",
      new_lameness: "cojera nueva",
      time_to_retrim: "tiempo hasta el siguiente recorte",
    },
    heading: (claims, outcome) =>
      claims.length === 0
        ? `Nada de lo preguntado va con ${{ growth: "el crecimiento", lame: "la cojera", new_lameness: "empezar a cojear" }[outcome]} más de lo que da el azar`
        : `${joined(claims, "y")} ${claims.length === 1 ? "va" : "van"} con ${{ growth: "el crecimiento", lame: "la cojera", new_lameness: "empezar a cojear" }[outcome]}`,
    unsettled: (outcome) =>
      `No se pudo saber qué va con ${{ growth: "el crecimiento", lame: "la cojera", new_lameness: "empezar a cojear" }[outcome]}`,
    noneAsked: (outcome) =>
      `Ninguna condición de los corrales cambió lo bastante para preguntar por ${{ growth: "el crecimiento", lame: "la cojera", new_lameness: "la cojera nueva" }[outcome]}`,
    claim: (exposure, outcome, per, effect, goesUp) =>
      outcome === "growth"
        ? `${exposure}: en los mismos corrales, el crecimiento fue más ${goesUp ? "rápido" : "lento"} ${per}, por ${effect}.`
        : `${exposure}: en los mismos corrales, ${outcome === "lame" ? "la razón de momios de cojera" : "la tasa de cojera nueva"} ${goesUp ? "subió" : "bajó"} ${per}, por un factor de ${effect}.`,
    exposure: {
      crude_protein: "proteína cruda",
      copper_diet: "cobre en la dieta",
      mineral_copper: "cobre de minerales",
      zinc: "zinc en la dieta",
      wetness: "suelo mojado",
    },
    level: {
      within_pen: "los mismos corrales en el tiempo",
      between_pen: "unos corrales con otros",
      between_flock: "unos rebaños con otros",
      overall: "ambos juntos",
    },
    control: "lo que vino después (control)",
    axis: (outcome, unit) =>
      outcome === "growth"
        ? `diferencia de crecimiento, ${unit} al mes, con límites del 95 %`
        : outcome === "lame"
          ? "razón de momios de cojera, con límites del 95 %"
          : "razón de cojera nueva, con límites del 95 %",
    ends: {
      growth: { less: "más lento", more: "más rápido" },
      lame: { less: "menos cojera", more: "más cojera" },
      new_lameness: { less: "menos cojera", more: "más cojera" },
    },
    noDifference: "sin diferencia",
    rests: (rows, animals, pens) =>
      `${es(rows, "fila", "filas")} de ${es(animals, "cabra", "cabras")} en ${es(pens, "corral", "corrales")}, todas las temporadas`,
    runsOff: "Puntas de flecha: los límites siguen más allá del eje; están en la tabla",
    whatItIsNot:
      "Van juntas; lo no registrado puede estar detrás, y cambiar una no tiene que cambiar la otra.",
    columns: {
      exposure: "Condición",
      level: "Comparación",
      effect: "Efecto, límites del 95 %",
      df: "gl",
      p: "p",
      q: "q",
      eValue: "Valor E",
      adjusted: "Ajustado por",
    },
    sensitivityQuestion: "¿Se sostienen las respuestas si se pregunta de otro modo?",
    sensitivityHeading: (turned, of) =>
      turned === 0
        ? `Ninguna de ${es(of, "comprobación", "comprobaciones")} apunta al revés con límites fuera de 'sin diferencia'`
        : `${turned} de ${es(of, "comprobación", "comprobaciones")} ${turned === 1 ? "apunta" : "apuntan"} al revés con límites fuera de 'sin diferencia'`,
    sensitivityText:
      "Cada fila es una respuesta, en los mismos corrales en el tiempo, con las cifras de sus comprobaciones al lado, con límites del 95 %. De los lugares que se dejan fuera de uno en uno se muestran los dos que más bajan y más suben la cifra y los que la voltean; con sus límites todos están en results/association.csv.",
    asked: "se pregunta por",
    oneLeftOut: "sin un lugar",
    pointsOtherWay: "al revés",
    measured: (outcome, unit) =>
      ({
        growth: `crecimiento: diferencia, ${unit} al mes`,
        lame: "cojera en un día: razón de momios",
        new_lameness: "cojera nueva: razón de tasas",
      })[outcome] ?? outcome,
    check: {
      unadjusted: "sin ajustar",
      other_lag: "otra ventana",
      future_exposure: "lo que vino después (control)",
      past_beside_future: "junto a lo de después",
      month_fixed: "meses fijos",
      main: "principal",
    },
    withoutPlace: (place) => `sin ${place}`,
    lag: (days) => `${days} días antes`,
    doseQuestion: "¿Es recta la línea en todo el intervalo?",
    doseHeading: (bent, of) =>
      bent === 0
        ? `Ninguna de ${es(of, "curva", "curvas")} se dobla más de lo que da el azar`
        : `${bent} de ${es(of, "curva", "curvas")} ${bent === 1 ? "se dobla" : "se doblan"} más de lo que da el azar`,
    exposureUnit: {
      crude_protein: "% de la materia seca",
      copper_diet: "mg/kg de materia seca",
      mineral_copper: "mg al día",
      zinc: "mg/kg de materia seca",
      wetness: "puntaje de humedad",
    },
    doseMeasure: (outcome, unit) =>
      outcome === "growth"
        ? `crecimiento frente a lo usual, ${unit} al mes`
        : outcome === "lame"
          ? "momios de cojera frente a lo usual"
          : "cojera nueva frente a lo usual",
  },
};

/** A condition of a pen in words; several that move together are joined by a plus sign. */
export function exposureName(exposure: string, language: Language): string {
  return exposure
    .split("+")
    .map((one) => associationWords[language].exposure[one] ?? one)
    .join(" + ");
}
