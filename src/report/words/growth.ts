import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";
import type { EndInWords, GroupKind } from "./groups.ts";

export interface GrowthWords {
  readonly question: string;
  readonly heading: (rate: string) => string;
  readonly none: string;
  readonly sentence: (rate: string, animals: number) => string;
  readonly byQuestion: Readonly<Record<GroupKind, string>>;
  /** Groups as places: `in the Elder line`. */
  readonly byHeading: (fastest: string, slowest: string, apart: boolean) => string;
  /** The same for the short answer, each end with its figure. */
  readonly byAnswer: (fastest: EndInWords, slowest: EndInWords) => string;
  /** Said where groups are arms of a study. */
  readonly armsArePens: string;
  /** Said where lines stand as they are, beside a model that takes their pens out. */
  readonly asTheyStood: string;
  readonly tooFewGroups: string;
  readonly axis: (unit: string) => string;
  readonly rests: (animals: number, intervals: number) => string;
  readonly animalsQuestion: string;
  readonly animalsHeading: (faster: number) => string;
  readonly animalsNone: string;
  readonly spreadQuestion: string;
  readonly spreadHeading: (slowest: string, fastest: string) => string;
  readonly spreadAxis: (unit: string) => string;
  readonly fasterLikely: (chance: string) => string;
}

const en = counter("en");
const es = counter("es");

export const growthWords: Readonly<Record<Language, GrowthWords>> = {
  en: {
    question: "How fast do hooves grow here?",
    heading: (rate) => `Hooves grew ${rate}`,
    none: "No two lengths of one claw this season, so growth cannot be told",
    sentence: (rate, animals) => `Hooves grew ${rate} net of wear, in ${en(animals, "goat", "goats")}.`,
    byQuestion: {
      foot: "Do the feet grow alike?",
      claw: "Do inner and outer claws grow alike?",
      pen: "Do hooves grow faster in some pens?",
      ground: "Does growth go with the ground?",
      line: "Which lines' hooves grew fastest this season, in the pens they stood in?",
      age_band: "Does growth go with age?",
      class: "Do milking, dry and growing goats differ?",
      arm: "Did hooves of the study's arms grow differently?",
    },
    byHeading: (fastest, slowest, apart) =>
      apart
        ? `Hooves grew fastest ${fastest}, slowest ${slowest}`
        : `No clear difference: growth was highest ${fastest}, but the intervals overlap`,
    byAnswer: (fastest, slowest) =>
      `Hooves grew fastest ${fastest.place}, ${fastest.says} in ${en(fastest.animals, "goat", "goats")}, and slowest ${slowest.place}, ${slowest.says} in ${en(slowest.animals, "goat", "goats")}.`,
    armsArePens:
      "Goats counted one by one. Goats of an arm share pens, and pens grow apart by themselves: whether the arms differ stands under “What do the study's arms differ by?”, which counts pens.",
    asTheyStood:
      "As they stood: pen, ground and age are still in it. A line kept on soft ground looks faster here; the picture of all seasons takes that out.",
    tooFewGroups: "Too few goats in all but one group to compare",
    axis: (unit) => `growth, ${unit} a month, with 95 % limits`,
    rests: (animals, intervals) =>
      `${en(animals, "goat", "goats")}, ${en(intervals, "interval between visits", "intervals between visits")}`,
    animalsQuestion: "Which goats' hooves grow fastest?",
    animalsHeading: (n) =>
      n === 0
        ? "No goat's hooves grew clearly faster than the flock's"
        : `${en(n, "goat's hooves", "goats' hooves")} grew clearly faster than the flock's`,
    animalsNone: "No goat has enough intervals this season for a figure of its own",
    spreadQuestion: "How different are the goats?",
    spreadHeading: (slowest, fastest) => `Goats' own growth ran from ${slowest} to ${fastest}`,
    spreadAxis: (unit) => `growth, ${unit} a month; each dot is a goat`,
    fasterLikely: (chance) => `${chance} that it is faster than the flock`,
  },
  es: {
    question: "¿Qué tan rápido crecen las pezuñas aquí?",
    heading: (rate) => `Las pezuñas crecieron ${rate}`,
    none: "Esta temporada no hay dos largos de una misma pezuña, así que no se puede saber el crecimiento",
    sentence: (rate, animals) =>
      `Las pezuñas crecieron ${rate}, descontado el desgaste, en ${es(animals, "cabra", "cabras")}.`,
    byQuestion: {
      foot: "¿Crecen igual las patas?",
      claw: "¿Crecen igual las pezuñas internas y externas?",
      pen: "¿Crecen más rápido en algunos corrales?",
      ground: "¿Va el crecimiento con el suelo?",
      line: "¿A qué líneas les crecieron más rápido las pezuñas esta temporada, en los corrales donde estaban?",
      age_band: "¿Va el crecimiento con la edad?",
      class: "¿Difieren las cabras en ordeña, secas y en crecimiento?",
      arm: "¿Crecieron distinto los grupos del estudio?",
    },
    byHeading: (fastest, slowest, apart) =>
      apart
        ? `Las pezuñas crecieron más ${fastest} y menos ${slowest}`
        : `Sin diferencia clara: el crecimiento fue mayor ${fastest}, pero los intervalos se cruzan`,
    byAnswer: (fastest, slowest) =>
      `Las pezuñas crecieron más ${fastest.place}, ${fastest.says} en ${es(fastest.animals, "cabra", "cabras")}, y menos ${slowest.place}, ${slowest.says} en ${es(slowest.animals, "cabra", "cabras")}.`,
    armsArePens:
      "Cabras contadas una por una. Las cabras de un grupo comparten corrales, y los corrales difieren por sí solos: si los grupos difieren está en «¿En qué difieren los grupos del estudio?», que cuenta corrales.",
    asTheyStood:
      "Tal como estaban: corral, suelo y edad siguen dentro. Una línea en suelo blando parece crecer más aquí; la figura de todas las temporadas lo descuenta.",
    tooFewGroups: "Muy pocas cabras en todos los grupos menos uno para comparar",
    axis: (unit) => `crecimiento, ${unit} al mes, con límites del 95 %`,
    rests: (animals, intervals) =>
      `${es(animals, "cabra", "cabras")}, ${es(intervals, "intervalo entre visitas", "intervalos entre visitas")}`,
    animalsQuestion: "¿A qué cabras les crecen más rápido?",
    animalsHeading: (n) =>
      n === 0
        ? "A ninguna cabra le crecieron claramente más que al rebaño"
        : n === 1
          ? "A 1 cabra le crecieron claramente más que al rebaño"
          : `A ${es(n, "", "cabras")} les crecieron claramente más que al rebaño`,
    animalsNone: "Ninguna cabra tiene suficientes intervalos esta temporada para una cifra propia",
    spreadQuestion: "¿Qué tan distintas son las cabras?",
    spreadHeading: (slowest, fastest) => `El crecimiento propio de las cabras fue de ${slowest} a ${fastest}`,
    spreadAxis: (unit) => `crecimiento, ${unit} al mes; cada punto es una cabra`,
    fasterLikely: (chance) => `${chance} de que crezca más que el rebaño`,
  },
};
