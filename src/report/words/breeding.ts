import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";

export interface BreedingWords {
  readonly growthQuestion: string;
  readonly lamenessQuestion: string;
  readonly growthAbove: (lines: readonly string[]) => string;
  readonly lamenessAbove: (lines: readonly string[]) => string;
  readonly growthBelow: (lines: readonly string[]) => string;
  readonly lamenessBelow: (lines: readonly string[]) => string;
  readonly growthNoneApart: string;
  readonly lamenessNoneApart: string;
  readonly growthSentence: (line: string, difference: string, isFaster: boolean, chance: string) => string;
  readonly lamenessSentence: (line: string, ratio: string, chance: string) => string;
  readonly growthAxis: (unit: string) => string;
  readonly lamenessAxis: string;
  readonly otherLines: string;
  readonly slower: string;
  readonly faster: string;
  readonly less: string;
  readonly more: string;
  readonly rests: (animals: number) => string;
  readonly allRecords: string;
  readonly chanceAbove: string;
  readonly needed: string;
  /** Goats of the line, or visits, that would halve the interval; null: no number would. */
  readonly neededOf: (goats: string | null, visits: string | null) => string;
  /** Goats of the line with a measure or score this season, of those present. */
  readonly covered: Readonly<Record<"growth" | "lameness", string>>;
  readonly coveredUnalike: string;
  readonly noParents: string;
  readonly sireQuestion: Readonly<Record<"growth" | "lameness", string>>;
  /** `sires`: those that stand clearly above the flock. */
  readonly sireHeading: (sires: readonly string[], trait: "growth" | "lameness") => string;
  readonly sire: string;
  readonly line: string;
  readonly offspring: string;
  /** Heading of breeding values with their limits. */
  readonly value: (unit: string) => string;
  readonly aMonth: (unit: string) => string;
  readonly logOdds: string;
  readonly reliability: string;
  readonly inbreedingQuestion: string;
  readonly inbreedingHeading: (count: number, highest: string, animal: string) => string;
  readonly inbreedingNone: string;
  readonly inbreeding: string;
  readonly parents: string;
  readonly noPedigree: string;
}

const en = counter("en");
const es = counter("es");

const listed = (names: readonly string[], and: string): string =>
  names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} ${and} ${names.at(-1)}`;

/** Sires up to which a heading names them. */
const MOST_NAMED = 3;

const namedOrCounted = (sires: readonly string[]): string =>
  sires.length <= MOST_NAMED ? listed(sires, "and") : en(sires.length, "sire", "sires");
const nombrados = (sires: readonly string[]): string =>
  sires.length <= MOST_NAMED ? listed(sires, "y") : es(sires.length, "semental", "sementales");

export const breedingWords: Readonly<Record<Language, BreedingWords>> = {
  en: {
    growthQuestion: "Which lines' hooves grow faster, whatever their pens?",
    lamenessQuestion: "Which lines go lame more often, whatever their pens?",
    growthAbove: (lines) => `${listed(lines, "and")} goats' hooves grow faster than the other lines'`,
    lamenessAbove: (lines) => `${listed(lines, "and")} goats go lame more often than the other lines`,
    growthBelow: (lines) => `${listed(lines, "and")} goats' hooves grow slower than the other lines'`,
    lamenessBelow: (lines) => `${listed(lines, "and")} goats go lame less often than the other lines`,
    growthNoneApart: "No line's hooves grow clearly faster or slower than the other lines'",
    lamenessNoneApart: "No line goes lame clearly more or less often than the other lines",
    growthSentence: (line, difference, isFaster, chance) =>
      `${line} goats' hooves grow ${isFaster ? "faster" : "slower"} than the other lines' by ${difference}; ${chance} that they are faster.`,
    lamenessSentence: (line, ratio, chance) =>
      `${line} goats' odds of a lame score are ${ratio} times those of the other lines (${chance} that they are higher).`,
    growthAxis: (unit) => `difference from the other lines, ${unit} a month, with 95 % limits`,
    lamenessAxis: "odds of a lame score against the other lines, with 95 % limits",
    otherLines: "other lines",
    slower: "slower",
    faster: "faster",
    less: "less lameness",
    more: "more lameness",
    rests: (animals) => `${en(animals, "goat with records", "goats with records")}`,
    allRecords: "All seasons together, parted from pen, month, age and foot by the pedigree's model.",
    chanceAbove: "Chance it stands above",
    needed: "What would halve the interval",
    neededOf: (goats, visits) =>
      goats === null
        ? visits === null
          ? "neither more such goats nor more visits"
          : `${visits} more visits; more such goats would not`
        : `${goats} more such goats${visits === null ? "; more visits would not" : `, or ${visits} more visits`}`,
    covered: { growth: "Measured of present", lameness: "Scored of present" },
    coveredUnalike:
      "Lines were not looked at alike this season: goats looked at only when something shows make their line look worse.",
    noParents:
      "No goat here has a recorded parent. Lines are told from their names alone: sires, inbreeding and what single goats pass on cannot be, and a goat's own lot counts as its line's. Write sire and dam into the animals sheet.",
    sireQuestion: {
      growth: "Which sires' kids' hooves grow faster?",
      lameness: "Which sires' kids go lame more often?",
    },
    sireHeading: (sires, trait) =>
      sires.length === 0
        ? trait === "growth"
          ? "No sire stands clearly above the flock in growth"
          : "No sire stands clearly above the flock in lameness"
        : trait === "growth"
          ? `${namedOrCounted(sires)} ${sires.length === 1 ? "passes" : "pass"} on faster growth than the flock's`
          : `${namedOrCounted(sires)} ${sires.length === 1 ? "passes" : "pass"} on more lameness than the flock's`,
    sire: "Sire",
    line: "Line",
    offspring: "Kids",
    value: (unit) => `Breeding value, ${unit}, with 95 % limits`,
    aMonth: (unit) => `${unit} a month`,
    logOdds: "log odds",
    reliability: "Reliability",
    inbreedingQuestion: "Are any goats inbred?",
    inbreedingHeading: (count, highest, animal) =>
      `${en(count, "goat is", "goats are")} inbred at one in sixteen or more; most of all ${animal}, ${highest}`,
    inbreedingNone: "No goat present is inbred at one in sixteen or more, as far as the pedigree goes",
    inbreeding: "Inbreeding",
    parents: "Sire, dam",
    noPedigree: "not known",
  },
  es: {
    growthQuestion: "¿En qué líneas crecen más rápido las pezuñas, sea cual sea su corral?",
    lamenessQuestion: "¿Qué líneas cojean más, sea cual sea su corral?",
    growthAbove: (lines) =>
      `A las cabras ${listed(lines, "y")} les crecen las pezuñas más rápido que a las otras líneas`,
    lamenessAbove: (lines) => `Las cabras ${listed(lines, "y")} cojean más que las otras líneas`,
    growthBelow: (lines) =>
      `A las cabras ${listed(lines, "y")} les crecen las pezuñas más lento que a las otras líneas`,
    lamenessBelow: (lines) => `Las cabras ${listed(lines, "y")} cojean menos que las otras líneas`,
    growthNoneApart:
      "A ninguna línea le crecen las pezuñas claramente más rápido o más lento que a las otras",
    lamenessNoneApart: "Ninguna línea cojea claramente más o menos que las otras",
    growthSentence: (line, difference, isFaster, chance) =>
      `A las cabras ${line} les crecen las pezuñas más ${isFaster ? "rápido" : "lento"} que a las otras líneas, por ${difference}; ${chance} de que sea más rápido.`,
    lamenessSentence: (line, ratio, chance) =>
      `La razón de momios de cojera de las cabras ${line} es ${ratio} veces la de las otras líneas (${chance} de que sea mayor).`,
    growthAxis: (unit) => `diferencia con las otras líneas, ${unit} al mes, con límites del 95 %`,
    lamenessAxis: "razón de momios de cojera frente a las otras líneas, con límites del 95 %",
    otherLines: "otras líneas",
    slower: "más lento",
    faster: "más rápido",
    less: "menos cojera",
    more: "más cojera",
    rests: (animals) => `${es(animals, "cabra con registros", "cabras con registros")}`,
    allRecords:
      "Todas las temporadas juntas, separadas de corral, mes, edad y pata por el modelo del pedigrí.",
    chanceAbove: "Probabilidad de estar por encima",
    needed: "Qué reduciría el intervalo a la mitad",
    neededOf: (goats, visits) =>
      goats === null
        ? visits === null
          ? "ni más cabras así ni más visitas"
          : `${visits} visitas más; más cabras así no`
        : `${goats} cabras así más${visits === null ? "; más visitas no" : `, o ${visits} visitas más`}`,
    covered: { growth: "Medidas de las presentes", lameness: "Calificadas de las presentes" },
    coveredUnalike:
      "Esta temporada no se revisó igual a todas las líneas: las cabras que se revisan solo cuando algo se nota hacen ver peor a su línea.",
    noParents:
      "Ninguna cabra tiene padre o madre registrados. Las líneas se conocen solo por su nombre: no se pueden conocer sementales, consanguinidad ni lo que transmite cada cabra, y la suerte de una cabra cuenta como de su línea. Anote padre y madre en la hoja de animales.",
    sireQuestion: {
      growth: "¿A las crías de qué sementales les crecen más rápido las pezuñas?",
      lameness: "¿Las crías de qué sementales cojean más?",
    },
    sireHeading: (sires, trait) =>
      sires.length === 0
        ? trait === "growth"
          ? "Ningún semental queda claramente sobre el rebaño en crecimiento"
          : "Ningún semental queda claramente sobre el rebaño en cojera"
        : trait === "growth"
          ? `${nombrados(sires)} ${sires.length === 1 ? "transmite" : "transmiten"} más crecimiento que el rebaño`
          : `${nombrados(sires)} ${sires.length === 1 ? "transmite" : "transmiten"} más cojera que el rebaño`,
    sire: "Semental",
    line: "Línea",
    offspring: "Crías",
    value: (unit) => `Valor de cría, ${unit}, con límites del 95 %`,
    aMonth: (unit) => `${unit} al mes`,
    logOdds: "log de momios",
    reliability: "Fiabilidad",
    inbreedingQuestion: "¿Hay cabras consanguíneas?",
    inbreedingHeading: (count, highest, animal) =>
      `${es(count, "cabra tiene", "cabras tienen")} consanguinidad de un dieciseisavo o más; la mayor, ${animal}, ${highest}`,
    inbreedingNone:
      "Ninguna cabra presente tiene consanguinidad de un dieciseisavo o más, hasta donde llega el pedigrí",
    inbreeding: "Consanguinidad",
    parents: "Padre, madre",
    noPedigree: "no se sabe",
  },
};
