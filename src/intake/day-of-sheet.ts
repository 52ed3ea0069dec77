import { fold } from "./fold.ts";
import { dayParts } from "./read-day.ts";

/**
 * The day that a title gives the whole worksheet, as the text has it: a title that is a date alone, or one
 * that says with it that it speaks of a visit, a trim or a score (`Hoof trim, 5 March 2024`). Null when no
 * title or more than one day does so: the day of a print or an export is none.
 */
export function dayOfSheet(titles: readonly string[]): string | null {
  const days = new Set(titles.flatMap(dayInTitle));
  return days.size === 1 ? [...days][0]! : null;
}

function dayInTitle(title: string): readonly string[] {
  const text = title.trim();
  if (isDay(text)) return [text];
  const found = [...text.matchAll(dates)].map(([date]) => date).filter(isDay);
  if (found.length !== 1) return found;
  const words = fold(text.replace(found[0]!, " ")).split(" ");
  return words.some((word) => visitWords.has(word)) && !words.some((word) => otherWords.has(word))
    ? found
    : [];
}

/** Dates in numbers, and three words of which one may name a month. */
const dates =
  /\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.]\d{2,4}|\d{1,2}(?:st|nd|rd|th)?(?: of| de)? \p{L}+\.?(?: of| de)?,? \d{4}|\p{L}+\.? \d{1,2}(?:st|nd|rd|th)?,? \d{4}/gu;

/** A bare number is no date of a title. */
function isDay(text: string): boolean {
  const parts = dayParts(text);
  return parts !== null && parts.form !== "serial";
}

const visitWords = new Set([
  ...["date", "day", "on", "visit", "trim", "trims", "trimmed", "trimming", "hoof", "hooves", "foot", "feet"],
  ...["score", "scores", "scored", "scoring", "check", "checked", "round", "look", "gait", "locomotion"],
  ...["fecha", "dia", "el", "visita", "recorte", "recortes", "pezuna", "pezunas", "revision", "ronda"],
]);

const otherWords = new Set([
  ...[
    "printed",
    "print",
    "exported",
    "export",
    "created",
    "updated",
    "saved",
    "since",
    "from",
    "to",
    "until",
  ],
  ...["till", "through", "before", "after", "born", "next", "due", "last", "version", "report"],
  ...[
    "impreso",
    "exportado",
    "creado",
    "actualizado",
    "desde",
    "hasta",
    "antes",
    "nacido",
    "proximo",
    "ultimo",
  ],
]);
