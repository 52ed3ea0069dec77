import type { Language } from "../../records/language.ts";

/** Words of the page's frame, in every language. */
export interface PageWords {
  readonly readers: Readonly<
    Record<"breeder" | "extension" | "vet" | "keeper" | "animals" | "handout", string>
  >;
  readonly readerFor: Readonly<Record<"breeder" | "extension" | "vet", string>>;
  readonly skip: string;
  readonly shortAnswer: string;
  readonly cannotTell: string;
  readonly season: string;
  readonly seasonDays: (from: string, to: string, soFar: boolean) => string;
  readonly speaksOf: string;
  readonly lastRecord: (day: string, daysBefore: number) => string;
  readonly present: string;
  readonly counts: (
    present: string,
    looked: string,
    measured: string,
    scored: string,
    seenSound: string | null,
  ) => string;
  readonly scoredBy: string;
  readonly scale: (scale: string, lameFrom: number) => string;
  readonly noScores: string;
  readonly records: string;
  readonly sum: (read: string, taken: string, setAside: string, repeats: string) => string;
  readonly stale: (days: number) => string;
  readonly showTable: string;
  /** The part with the tables at the end of a page, and how one is called. */
  readonly tables: string;
  readonly tableNumber: (n: number) => string;
  readonly specification: string;
  readonly monthFoot: string;
  readonly associationFoot: string;
  readonly madeBy: string;
  readonly page: string;
  readonly of: string;
  readonly earlier: string;
  readonly later: string;
  readonly seasonsAssumed: string;
  readonly overlap: string;
  readonly otherPages: string;
  readonly nothingYet: string;
  readonly scorer: (n: number) => string;
  readonly trimmer: (n: number) => string;
}

export const pageWords: Readonly<Record<Language, PageWords>> = {
  en: {
    readers: {
      breeder: "Breeder",
      extension: "Study herd",
      vet: "Vet",
      keeper: "Keeper",
      animals: "Goat by goat",
      handout: "Handout",
    },
    readerFor: {
      breeder: "For the breeder: which lines have hoof trouble",
      extension: "For the extension agent: the herd as a study",
      vet: "For the vet: the flock's season",
    },
    skip: "Skip to the short answer",
    shortAnswer: "The short answer",
    cannotTell: "What this season cannot tell, and the record that would",
    season: "Season",
    seasonDays: (from, to, soFar) => `${from} to ${to}${soFar ? ", so far" : ""}`,
    speaksOf: "Speaks of",
    lastRecord: (day, days) =>
      days === 0
        ? `${day}, the day of the last record`
        : `${day}, ${days} ${days === 1 ? "day" : "days"} after the last record`,
    present: "Animals",
    counts: (present, looked, measured, scored, seenSound) =>
      `${present} present at some time, ${looked} looked at, ${measured} measured, ${scored} scored for gait${seenSound === null ? "" : `, ${seenSound} more taken as sound in a round`}`,
    scoredBy: "Scored by",
    scale: (scale, from) => `Gait scale ${scale}, lame from ${from}`,
    noScores: "no gait scores this season",
    records: "Records",
    sum: (read, taken, aside, repeats) =>
      `${read} read: ${taken} taken, ${aside} set aside, ${repeats} exact repeats`,
    stale: (days) => `The last record is ${days} days old. What follows speaks of then, not of today.`,
    showTable: "The numbers behind this picture",
    tables: "Tables",
    tableNumber: (n) => `Table ${n}`,
    specification: "chart specification",
    monthFoot:
      "A month is 30 days. Limits are 95 % limits. Growth is net of wear unless a mark in the horn was measured.",
    associationFoot: "What goes together here need not be cause and effect.",
    madeBy: "Made by Coronet",
    page: "page",
    of: "of",
    earlier: "earlier",
    later: "later",
    seasonsAssumed: "Seasons are the northern hemisphere's, since the flock's latitude is not set.",
    overlap: "All intervals overlap: the order of this list is not evidence.",
    otherPages: "Other pages",
    nothingYet: "No records of this season answer any of this page's questions.",
    scorer: (n) => `Scorer ${n}`,
    trimmer: (n) => `Trimmer ${n}`,
  },
  es: {
    readers: {
      breeder: "Criador",
      extension: "Rebaño de estudio",
      vet: "Veterinario",
      keeper: "Cuidador",
      animals: "Cabra por cabra",
      handout: "Hoja para repartir",
    },
    readerFor: {
      breeder: "Para el criador: qué líneas tienen problemas de pezuña",
      extension: "Para el extensionista: el rebaño como estudio",
      vet: "Para el veterinario: la temporada del rebaño",
    },
    skip: "Ir a la respuesta corta",
    shortAnswer: "La respuesta corta",
    cannotTell: "Lo que esta temporada no puede decir, y el registro que lo diría",
    season: "Temporada",
    seasonDays: (from, to, soFar) => `${from} a ${to}${soFar ? ", hasta ahora" : ""}`,
    speaksOf: "Habla del",
    lastRecord: (day, days) =>
      days === 0
        ? `${day}, día del último registro`
        : `${day}, ${days} ${days === 1 ? "día" : "días"} después del último registro`,
    present: "Animales",
    counts: (present, looked, measured, scored, seenSound) =>
      `${present} presentes en algún momento, ${looked} revisados, ${measured} medidos, ${scored} con marcha calificada${seenSound === null ? "" : `, ${seenSound} más tomados por sanos en un recorrido`}`,
    scoredBy: "Calificó",
    scale: (scale, from) => `Escala de marcha ${scale}, cojera desde ${from}`,
    noScores: "sin calificaciones de marcha esta temporada",
    records: "Registros",
    sum: (read, taken, aside, repeats) =>
      `${read} leídos: ${taken} tomados, ${aside} apartados, ${repeats} repetidos exactos`,
    stale: (days) => `El último registro tiene ${days} días. Lo que sigue habla de entonces, no de hoy.`,
    showTable: "Los números detrás de esta figura",
    tables: "Tablas",
    tableNumber: (n) => `Tabla ${n}`,
    specification: "especificación de la gráfica",
    monthFoot:
      "Un mes son 30 días. Los límites son del 95 %. El crecimiento es descontado el desgaste, salvo que se midiera una marca en el casco.",
    associationFoot: "Lo que aquí va junto no tiene que ser causa y efecto.",
    madeBy: "Hecho por Coronet",
    page: "página",
    of: "de",
    earlier: "anterior",
    later: "siguiente",
    seasonsAssumed: "Las temporadas son las del hemisferio norte, pues no se indicó la latitud del rebaño.",
    overlap: "Todos los intervalos se cruzan: el orden de esta lista no es evidencia.",
    otherPages: "Otras páginas",
    nothingYet: "Ningún registro de esta temporada responde las preguntas de esta página.",
    scorer: (n) => `Observador ${n}`,
    trimmer: (n) => `Recortador ${n}`,
  },
};
