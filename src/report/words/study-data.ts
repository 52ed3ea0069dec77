import type { StudyColumn, StudyTable } from "../../findings/study-data.ts";
import type { InEveryLanguage, Language } from "../../records/language.ts";
import { counter } from "./count.ts";

/** Words of the records that may be passed on. */
export interface StudyDataWords {
  readonly question: string;
  readonly heading: (intervals: number, scores: number) => string;
  readonly text: readonly string[];
  readonly tables: Readonly<Record<StudyTable, string>>;
  readonly caption: string;
  readonly columns: { readonly file: string; readonly rows: string; readonly holds: string };
  readonly columnsSummary: string;
  readonly columnsCaption: string;
  readonly column: { readonly name: string; readonly stands: string; readonly meaning: string };
  readonly both: string;
}

const en = counter("en");
const es = counter("es");

export const studyDataWords: Readonly<Record<Language, StudyDataWords>> = {
  en: {
    question: "Can others work with these records?",
    heading: (intervals, scores) =>
      `${en(intervals, "growth interval", "growth intervals")} and ${en(scores, "gait score", "gait scores")} can be passed on without a name in them`,
    text: [
      "Goats, pens, lines and study arms stand as study numbers, the same ones in every file made from this book; remarks, other tags and people are left out. Days are as they were, so whoever knows the flock well may still know a goat by them: pass the files on to people you trust, and not onto the open web.",
    ],
    tables: {
      growth: "growth of each claw between two visits, the second in this season",
      gait: "gait of each goat scored, day by day",
    },
    caption: "Files beside this page",
    columns: { file: "File", rows: "Rows", holds: "A row is" },
    columnsSummary: "What each column means",
    columnsCaption: "Columns of the files",
    column: { name: "Column", stands: "In", meaning: "Meaning" },
    both: "both",
  },
  es: {
    question: "¿Pueden otros trabajar con estos registros?",
    heading: (intervals, scores) =>
      `${es(intervals, "intervalo de crecimiento", "intervalos de crecimiento")} y ${es(scores, "puntaje de marcha", "puntajes de marcha")} pueden entregarse sin ningún nombre`,
    text: [
      "Cabras, corrales, líneas y grupos de estudio figuran con números de estudio, los mismos en cada archivo hecho de este libro; las notas, otros aretes y las personas quedan fuera. Los días son los que fueron, así que quien conozca bien el rebaño aún podría reconocer una cabra: entregue los archivos a personas de confianza y no los publique en la red.",
    ],
    tables: {
      growth: "crecimiento de cada pezuña entre dos visitas, la segunda en esta temporada",
      gait: "marcha de cada cabra calificada, día por día",
    },
    caption: "Archivos junto a esta página",
    columns: { file: "Archivo", rows: "Filas", holds: "Una fila es" },
    columnsSummary: "Qué significa cada columna",
    columnsCaption: "Columnas de los archivos",
    column: { name: "Columna", stands: "En", meaning: "Significado" },
    both: "ambos",
  },
};

/** What each column of the files means. */
export const studyColumnMeanings: Readonly<Record<StudyColumn, InEveryLanguage>> = {
  flock: { en: "study number of the flock", es: "número de estudio del rebaño" },
  animal: { en: "study number of the goat", es: "número de estudio de la cabra" },
  foot: {
    en: "LF left front, RF right front, LH left hind, RH right hind",
    es: "LF delantera izquierda, RF delantera derecha, LH trasera izquierda, RH trasera derecha",
  },
  claw: { en: "inner or outer", es: "inner (interno) u outer (externo)" },
  date_from: { en: "first day of the interval", es: "primer día del intervalo" },
  date_to: { en: "last day of the interval", es: "último día del intervalo" },
  days: { en: "days between", es: "días entre ambos" },
  growth_mm: { en: "horn grown, net of wear, mm", es: "casco crecido, descontado el desgaste, mm" },
  rate_mm_30d: { en: "the same in 30 days, mm", es: "lo mismo en 30 días, mm" },
  basis: {
    en: "mark, toe or overhang: what was measured at both ends",
    es: "mark (marca), toe (punta) u overhang (saliente): lo medido en ambos extremos",
  },
  pen: { en: "study number of the pen on the last day", es: "número de estudio del corral el último día" },
  ground: { en: "ground of that pen", es: "suelo de ese corral" },
  age_band: { en: "age on that day", es: "edad ese día" },
  class: {
    en: "what it was on that day: milking, dry, growing …",
    es: "qué era ese día: milking (en ordeño), dry (seca), growing (en crecimiento) …",
  },
  line: { en: "study number of its line", es: "número de estudio de su línea" },
  arm: { en: "study number of the study arm", es: "número del grupo de estudio" },
  crude_protein_pct_dm: {
    en: "crude protein of the diet, % of dry matter: mean over the interval; on the day of the score",
    es: "proteína cruda de la dieta, % de la materia seca: media del intervalo; el día del puntaje",
  },
  copper_mg_per_kg_dm: {
    en: "copper of the whole diet, mg per kg of dry matter, likewise",
    es: "cobre de la dieta completa, mg por kg de materia seca, igualmente",
  },
  wetness: {
    en: "wetness of the ground, 0 dry to 3 standing mud, likewise",
    es: "humedad del suelo, 0 seco a 3 lodo, igualmente",
  },
  caution: { en: "code of what to mind", es: "código de lo que hay que tener en cuenta" },
  day: { en: "day of the score", es: "día del puntaje" },
  gait: { en: "gait score", es: "puntaje de marcha" },
  gait_scale: { en: "its scale", es: "su escala" },
  lame_from: {
    en: "score from which a goat counts as lame",
    es: "puntaje desde el que una cabra cuenta como coja",
  },
  lame: { en: "whether it counted as lame", es: "si contó como coja" },
  for_cause: { en: "scored because it limped", es: "calificada porque cojeaba" },
  assumed: {
    en: "taken as sound from a round that said so of all others",
    es: "tomada por sana de un recorrido que lo dijo de todas las demás",
  },
  mineral_copper_mg_per_day: {
    en: "copper from minerals, mg a head and day",
    es: "cobre de minerales, mg por cabeza y día",
  },
  zinc_mg_per_kg_dm: {
    en: "zinc of the whole diet, mg per kg of dry matter",
    es: "cinc de la dieta completa, mg por kg de materia seca",
  },
};
