import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";

/** Words of the keeper's own pages: the first page, the work list, and what came in. */
export interface KeeperWords {
  readonly indexQuestion: string;
  readonly seasons: string;
  readonly setAsideSentence: (count: number) => string;
  readonly setAsideLink: string;
  readonly cannotTellNone: string;
  readonly worklist: string;
  readonly worklistQuestion: string;
  readonly worklistTitle: (flock: string, day: string) => string;
  readonly worklistIntro: string;
  readonly bring: string;
  readonly bringWhat: string;
  readonly lookFor: string;
  readonly lookForWhat: string;
  readonly penHead: (pen: string, count: number) => string;
  readonly worklistNone: string;
  readonly notYetHealed: (lesions: string, count: number) => string;
  readonly longestClaw: (length: string, claw: string) => string;
  readonly order: string;
  /** Columns to write in. */
  readonly blankColumns: Readonly<Record<"gait" | "lesion" | "overgrowth" | "trimmed" | "note", string>>;
  readonly scaleFoot: (scale: string, lameFrom: number) => string;
  readonly overgrowthFoot: string;
  readonly orderFoot: string;
  readonly intakeTitle: (flock: string) => string;
  readonly intakeQuestion: string;
  readonly intakeHeading: (setAside: string, read: string) => string;
  readonly bySheet: string;
  readonly byReason: string;
  readonly understood: string;
  readonly notUnderstood: string;
  readonly animalsToAdd: (count: number) => string;
  readonly wordsToMap: (count: number) => string;
  readonly remarksToConfirm: (count: number) => string;
  readonly mendFirst: string;
  readonly columns: Readonly<
    Record<
      | "sheet"
      | "kind"
      | "read"
      | "taken"
      | "setAside"
      | "repeats"
      | "why"
      | "advice"
      | "records"
      | "example"
      | "column"
      | "meaning"
      | "unit"
      | "sample"
      | "sure"
      | "row",
      string
    >
  >;
  readonly sure: Readonly<Record<string, string>>;
}

const en = counter("en");
const es = counter("es");

export const keeperWords: Readonly<Record<Language, KeeperWords>> = {
  en: {
    indexQuestion: "For the keeper: what the records say, in five sentences",
    seasons: "Seasons and readers",
    setAsideSentence: (count) =>
      count === 0
        ? "No record was set aside."
        : `${en(count, "record was", "records were")} set aside and ${count === 1 ? "does" : "do"} not count above.`,
    setAsideLink: "See why, and mend them",
    cannotTellNone: "Every question of this page has an answer this season.",
    worklist: "Work list",
    worklistQuestion: "Whom to look at, in which order",
    worklistTitle: (flock, day) => `${flock}: work list for ${day}`,
    worklistIntro:
      "Look at goats in the order of the first number, trim in the order of the second. Write on the page, or fill in worklist.csv and take it in.",
    bring: "Bring",
    bringWhat:
      "trimming shears and knife, ruler, brush, gloves, disinfectant by its label, pen and paper; a second set of tools for suspect feet",
    lookFor: "Look for",
    lookForWhat:
      "a limp, heat, swelling at the coronet, sores or smell between the claws, wall folding over the sole, blood in the horn; then mouth and gums if any is lame",
    penHead: (pen, count) => `${pen}: ${en(count, "goat", "goats")}`,
    worklistNone: "No goat is waiting to be looked at",
    notYetHealed: (lesions) => `${lesions}, not yet seen healed`,
    longestClaw: (length, claw) => `Longest then: about ${length}${claw === "" ? "" : `, ${claw}`}.`,
    order: "Look, trim",
    blankColumns: {
      gait: "gait",
      lesion: "lesion, foot",
      overgrowth: "over-growth",
      trimmed: "trimmed",
      note: "note",
    },
    scaleFoot: (scale, from) => `Gait scale ${scale}, lame from ${from}.`,
    overgrowthFoot:
      "Overgrowth: 0 level, or up to 1/8 inch (3 mm) proud; 1 past that, wall straight; 2 wall folding over the sole, or toe clearly long; 3 folded under, curled, or changing the gait.",
    orderFoot: "Suspect feet are looked at first and trimmed last.",
    intakeTitle: (flock) => `${flock}: what came in`,
    intakeQuestion: "What was read, what was set aside, and why",
    intakeHeading: (aside, read) =>
      aside === "0" ? `All of ${read} records were taken` : `${aside} of ${read} records were set aside`,
    bySheet: "Sheet by sheet",
    byReason: "Why records were set aside, and what to do",
    understood: "How each column was understood",
    notUnderstood: "not understood; kept as it came",
    animalsToAdd: (n) =>
      `${n} ${n === 1 ? "tag that the animals sheet lacks" : "tags that the animals sheet lacks"}: animals-to-add.csv`,
    wordsToMap: (n) =>
      `${n} ${n === 1 ? "word" : "words"} of lesion cells that the list does not know: words-to-map.csv`,
    remarksToConfirm: (n) =>
      `${n} ${n === 1 ? "remark speaks" : "remarks speak"} of a limp, a sore or worse; none is counted until you confirm it: remarks-to-confirm.csv`,
    mendFirst:
      "set-aside.csv holds these rows in their own columns: mend them there or in your sheet, and take them in again.",
    columns: {
      sheet: "Sheet",
      kind: "Read as",
      read: "Read",
      taken: "Taken",
      setAside: "Set aside",
      repeats: "Repeats",
      why: "Why",
      advice: "What to do",
      records: "Records",
      example: "Example",
      column: "Column",
      meaning: "Meaning",
      unit: "Unit",
      sample: "Sample",
      sure: "By",
      row: "row",
    },
    sure: { name: "its name", settings: "settings", word: "a known word", values: "its values" },
  },
  es: {
    indexQuestion: "Para el cuidador: lo que dicen los registros, en cinco oraciones",
    seasons: "Temporadas y lectores",
    setAsideSentence: (count) =>
      count === 0
        ? "No se apartó ningún registro."
        : `${count === 1 ? "Se apartó 1 registro, que no cuenta" : `Se apartaron ${es(count, "", "registros")}, que no cuentan`} arriba.`,
    setAsideLink: "Vea por qué y corríjalos",
    cannotTellNone: "Cada pregunta de esta página tiene respuesta esta temporada.",
    worklist: "Lista de trabajo",
    worklistQuestion: "A quién revisar y en qué orden",
    worklistTitle: (flock, day) => `${flock}: lista de trabajo del ${day}`,
    worklistIntro:
      "Revise en el orden del primer número y recorte en el del segundo. Escriba en la hoja, o llene worklist.csv y tómela.",
    bring: "Lleve",
    bringWhat:
      "tijeras y cuchillo de recorte, regla, cepillo, guantes, desinfectante según su etiqueta, lápiz y papel; otro juego de herramientas para patas sospechosas",
    lookFor: "Busque",
    lookForWhat:
      "cojera, calor, hinchazón en la corona, llagas u olor entre los dedos, pared doblada sobre la suela, sangre en el casco; y boca y encías si alguna cojea",
    penHead: (pen, count) => `${pen}: ${es(count, "cabra", "cabras")}`,
    worklistNone: "Ninguna cabra espera revisión",
    notYetHealed: (lesions, count) => `${lesions}, aún sin verse ${count === 1 ? "sanada" : "sanadas"}`,
    longestClaw: (length, claw) =>
      `La más larga para entonces: cerca de ${length}${claw === "" ? "" : `, ${claw}`}.`,
    order: "Revisar, recortar",
    blankColumns: {
      gait: "marcha",
      lesion: "lesión, pata",
      overgrowth: "sobre-crecim.",
      trimmed: "recorte",
      note: "nota",
    },
    scaleFoot: (scale, from) => `Escala de marcha ${scale}, cojera desde ${from}.`,
    overgrowthFoot:
      "Sobrecrecimiento: 0 a ras, o hasta 1/8 de pulgada (3 mm); 1 más, con pared recta; 2 pared que dobla sobre la suela o punta claramente larga; 3 doblada debajo, enroscada o que cambia la marcha.",
    orderFoot: "Las patas sospechosas se revisan primero y se recortan al final.",
    intakeTitle: (flock) => `${flock}: lo que entró`,
    intakeQuestion: "Qué se leyó, qué se apartó y por qué",
    intakeHeading: (aside, read) =>
      aside === "0" ? `Se tomaron todos los ${read} registros` : `Se apartaron ${aside} de ${read} registros`,
    bySheet: "Hoja por hoja",
    byReason: "Por qué se apartaron registros y qué hacer",
    understood: "Cómo se entendió cada columna",
    notUnderstood: "no se entendió; se guarda como vino",
    animalsToAdd: (n) =>
      `${n} ${n === 1 ? "arete que falta en la hoja de animales" : "aretes que faltan en la hoja de animales"}: animals-to-add.csv`,
    wordsToMap: (n) =>
      `${n} ${n === 1 ? "palabra" : "palabras"} de lesiones que la lista no conoce: words-to-map.csv`,
    remarksToConfirm: (n) =>
      `${n} ${n === 1 ? "nota habla" : "notas hablan"} de cojera, llaga o algo peor; ninguna cuenta hasta que la confirme: remarks-to-confirm.csv`,
    mendFirst:
      "set-aside.csv tiene estas filas con sus columnas: corríjalas ahí o en su hoja y vuelva a tomarlas.",
    columns: {
      sheet: "Hoja",
      kind: "Leída como",
      read: "Leídos",
      taken: "Tomados",
      setAside: "Apartados",
      repeats: "Repetidos",
      why: "Por qué",
      advice: "Qué hacer",
      records: "Registros",
      example: "Ejemplo",
      column: "Columna",
      meaning: "Significado",
      unit: "Unidad",
      sample: "Muestra",
      sure: "Por",
      row: "fila",
    },
    sure: {
      name: "su nombre",
      settings: "la configuración",
      word: "una palabra conocida",
      values: "sus valores",
    },
  },
};
