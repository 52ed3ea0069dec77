import type { InEveryLanguage, Language } from "../../records/language.ts";

/** Heads of table columns, the same on every page. */
const columns = {
  group: { en: "Group", es: "Grupo" },
  animal: { en: "Goat", es: "Cabra" },
  pen: { en: "Pen", es: "Corral" },
  animals: { en: "Goats", es: "Cabras" },
  intervals: { en: "Intervals", es: "Intervalos" },
  rate: { en: "Growth a month", es: "Crecimiento al mes" },
  limits: { en: "95 % limits", es: "Límites del 95 %" },
  scored: { en: "Goats scored", es: "Cabras calificadas" },
  lame: { en: "Lame scores", es: "Con cojera" },
  share: { en: "Share, 95 % limits", es: "Parte, límites del 95 %" },
  scores: { en: "Scores", es: "Calificaciones" },
  median: { en: "Half by day, 95 % limits", es: "La mitad al día, límites del 95 %" },
  spells: { en: "Trim spells", es: "Periodos" },
  lesion: { en: "Finding", es: "Hallazgo" },
  examined: { en: "Examined", es: "Revisadas" },
  affected: { en: "Affected", es: "Afectadas" },
  trims: { en: "Claw trims", es: "Recortes" },
  bled: { en: "Bled", es: "Sangraron" },
  overTrimmed: { en: "Over-trimmed", es: "De más" },
  leftLong: { en: "Left long", es: "Dejados largos" },
  reason: { en: "Why", es: "Por qué" },
  lastLook: { en: "Last look", es: "Última revisión" },
  checkBy: { en: "Check by", es: "Revisar antes de" },
  expected: { en: "Longest claw expected", es: "Pezuña más larga esperada" },
  firstSign: { en: "First sign", es: "Primer signo" },
  lastSign: { en: "Last sign", es: "Último signo" },
  treatment: { en: "Days to treatment", es: "Días al tratamiento" },
  closed: { en: "Seen sound", es: "Vista sana" },
  what: { en: "What", es: "Qué" },
  note: { en: "Note", es: "Nota" },
  lookedAt: { en: "Looked at", es: "Vistos" },
  flagged: { en: "Flagged", es: "Marcados" },
  example: { en: "Example", es: "Ejemplo" },
  advice: { en: "What to do", es: "Qué hacer" },
  season: { en: "Season", es: "Temporada" },
  present: { en: "Present", es: "Presentes" },
  measured: { en: "Measured", es: "Medidas" },
  left: { en: "Left", es: "Salieron" },
  history: { en: "The last two years", es: "Los últimos dos años" },
  chance: { en: "Chance it is faster than the flock", es: "Probabilidad de crecer más que el rebaño" },
  records: { en: "Records", es: "Registros" },
  step: { en: "Step", es: "Paso" },
  item: { en: "Item", es: "Punto" },
  where: { en: "Where", es: "Dónde" },
  month: { en: "Month", es: "Mes" },
  limitsOfChance: { en: "Within chance up to", es: "Dentro del azar hasta" },
  number: { en: "No.", es: "N.º" },
  standing: { en: "Wants", es: "Pide" },
} as const satisfies Record<string, InEveryLanguage>;

export type ColumnId = keyof typeof columns;

/** The head of a column, in a language. */
export function columnName(id: ColumnId, language: Language): string {
  return columns[id][language];
}
