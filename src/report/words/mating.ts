import type { MatingTrouble } from "../../findings/breeding/mating.ts";
import type { Language } from "../../records/language.ts";

/** Words of one pairing, as the terminal prints it. */
export interface MatingWords {
  readonly title: (flock: string, sire: string, dam: string) => string;
  readonly inbreeding: (coefficient: string, oneIn: string | null) => string;
  readonly noKin: string;
  readonly isAncestor: (older: string, younger: string, generations: number) => string;
  readonly shareOne: (generations: number, tags: readonly string[], possible: boolean) => string;
  readonly shareUneven: (
    tag: string,
    sire: string,
    aboveSire: number,
    dam: string,
    aboveDam: number,
    possible: boolean,
  ) => string;
  readonly columns: Readonly<
    Record<"trait" | "of" | "goat" | "line" | "value" | "reliability" | "records" | "note", string>
  >;
  readonly trait: (unit: string) => Readonly<Record<"growth" | "lameness", string>>;
  readonly of: Readonly<Record<"sire" | "dam" | "midParent", string>>;
  readonly against: string;
  readonly chance: string;
  readonly onlyThis: string;
  readonly trouble: (trouble: MatingTrouble) => string;
}

const forebearEn = (generations: number): string =>
  generations === 1
    ? "parent"
    : generations === 2
      ? "grandparent"
      : `${"great-".repeat(generations - 2)}grandparent`;

const FAR_ES = ["", "padre o madre", "abuelo o abuela", "bisabuelo o bisabuela", "tatarabuelo o tatarabuela"];
const forebearEs = (generations: number): string =>
  FAR_ES[generations] ?? `ascendiente de ${generations} generaciones atrás`;

const article = (noun: string): string => (/^[aeiou]/.test(noun) ? `an ${noun}` : `a ${noun}`);
const listed = (tags: readonly string[], and: string): string =>
  tags.length < 2 ? tags.join("") : `${tags.slice(0, -1).join(", ")} ${and} ${tags.at(-1)}`;

export const matingWords: Readonly<Record<Language, MatingWords>> = {
  en: {
    title: (flock, sire, dam) => `${flock}: kids of buck ${sire} and doe ${dam}`,
    inbreeding: (coefficient, oneIn) =>
      `Expected inbreeding of a kid, as far as the pedigree goes: ${coefficient}${oneIn === null ? "" : ` (${oneIn})`}.`,
    noKin: "No ancestor of both is known.",
    isAncestor: (older, younger, generations) =>
      `${older} is ${article(forebearEn(generations))} of ${younger}.`,
    shareOne: (generations, tags, possible) =>
      generations === 1 && tags.length === 2
        ? `They ${possible ? "may " : ""}share both parents: ${listed(tags, "and")}.`
        : `They ${possible ? "may " : ""}share ${tags.length === 1 ? article(forebearEn(generations)) : `${forebearEn(generations)}s`}: ${listed(tags, "and")}.`,
    shareUneven: (tag, sire, aboveSire, dam, aboveDam, possible) =>
      `${tag} ${possible ? "may be" : "is"} ${article(forebearEn(aboveSire))} of ${sire} and ${article(forebearEn(aboveDam))} of ${dam}.`,
    columns: {
      trait: "trait",
      of: "of",
      goat: "goat",
      line: "line",
      value: "value, 95 % limits",
      reliability: "reliability",
      records: "records",
      note: "note",
    },
    trait: (unit) => ({ growth: `growth, ${unit} a month`, lameness: "lameness, ratio of odds" }),
    of: { sire: "sire", dam: "dam", midParent: "mid-parent" },
    against:
      "Values stand against the mean of the flock's goats with records: growth as a difference, lameness as a ratio of odds (1: as the flock).",
    chance:
      "The mid-parent value is what many kids of the two would average; each kid stands above or below it by chance.",
    onlyThis:
      "Growth, lameness and kinship only: health, age, build and the rest are for the breeder and the vet to weigh.",
    trouble: (trouble) => {
      switch (trouble.code) {
        case "not_analysed":
          return "The book holds no results yet. Run coronet analyse first.";
        case "unknown_tag":
          return `No goat ${trouble.tag} in this flock or its pedigree.${trouble.nearest.length === 0 ? "" : ` Nearest: ${trouble.nearest.join(", ")}.`}`;
        case "same_animal":
          return `${trouble.tag} is named twice: name a buck, then a doe.`;
        case "sire_is_doe":
          return `${trouble.tag} is recorded as a doe, so it cannot be the sire. The buck comes first: coronet mating SIRE DAM.`;
        case "sire_is_wether":
          return `${trouble.tag} is recorded as a wether, so it cannot be a sire.`;
        case "dam_is_no_doe":
          return `${trouble.tag} is not recorded as a doe, so it cannot be the dam. The doe comes second: coronet mating SIRE DAM.`;
      }
    },
  },
  es: {
    title: (flock, sire, dam) => `${flock}: crías del semental ${sire} y la cabra ${dam}`,
    inbreeding: (coefficient, oneIn) =>
      `Consanguinidad esperada de una cría, hasta donde llega el pedigrí: ${coefficient}${oneIn === null ? "" : ` (${oneIn})`}.`,
    noKin: "No se conoce ningún ascendiente de ambos.",
    isAncestor: (older, younger, generations) => `${older} es ${forebearEs(generations)} de ${younger}.`,
    shareOne: (generations, tags, possible) =>
      generations === 1 && tags.length === 2
        ? `${possible ? "Quizá comparten" : "Comparten"} ambos padres: ${listed(tags, "y")}.`
        : `${possible ? "Quizá comparten" : "Comparten"} ${forebearEs(generations)}: ${listed(tags, "y")}.`,
    shareUneven: (tag, sire, aboveSire, dam, aboveDam, possible) =>
      `${tag} ${possible ? "quizá sea" : "es"} ${forebearEs(aboveSire)} de ${sire} y ${forebearEs(aboveDam)} de ${dam}.`,
    columns: {
      trait: "rasgo",
      of: "de",
      goat: "cabra",
      line: "línea",
      value: "valor, límites del 95 %",
      reliability: "fiabilidad",
      records: "registros",
      note: "nota",
    },
    trait: (unit) => ({ growth: `crecimiento, ${unit} al mes`, lameness: "cojera, razón de momios" }),
    of: { sire: "padre", dam: "madre", midParent: "promedio de padres" },
    against:
      "Los valores se miden contra el promedio de las cabras del rebaño con registros: el crecimiento como diferencia, la cojera como razón de momios (1: como el rebaño).",
    chance:
      "El promedio de los padres es lo que promediarían muchas crías de los dos; cada cría queda por encima o por debajo al azar.",
    onlyThis:
      "Solo crecimiento, cojera y parentesco: salud, edad, conformación y lo demás lo pesan el criador y el veterinario.",
    trouble: (trouble) => {
      switch (trouble.code) {
        case "not_analysed":
          return "El libro aún no tiene resultados. Ejecute primero coronet analyse.";
        case "unknown_tag":
          return `No hay cabra ${trouble.tag} en este rebaño ni en su pedigrí.${trouble.nearest.length === 0 ? "" : ` Las más parecidas: ${trouble.nearest.join(", ")}.`}`;
        case "same_animal":
          return `${trouble.tag} aparece dos veces: nombre un semental y luego una cabra.`;
        case "sire_is_doe":
          return `${trouble.tag} está registrada como hembra y no puede ser el padre. El macho va primero: coronet mating SIRE DAM.`;
        case "sire_is_wether":
          return `${trouble.tag} está registrado como castrado y no puede ser padre.`;
        case "dam_is_no_doe":
          return `${trouble.tag} no está registrada como hembra y no puede ser la madre. La hembra va en segundo lugar: coronet mating SIRE DAM.`;
      }
    },
  },
};
