import type { Language } from "../../src/records/language.ts";
import { defaultSettings, type Settings } from "../../src/records/settings.ts";
import { type LengthUnit, toLengthUnit, unitName } from "../../src/report/length-units.ts";
import type { Row } from "../book/table-rows.ts";
import type { ExploreWords } from "./words/explore-words.ts";
import { exploreWords } from "./words/in-language.ts";

/** How a flock is told of: in the language and the unit of length of its own settings, as on its pages. */
export interface Reader {
  readonly language: Language;
  readonly words: ExploreWords;
  readonly unit: LengthUnit;
  /** The unit's name. */
  readonly unitName: string;
  /** A number of millimetres in the unit; what is no number stays missing. */
  readonly inUnit: (mm: unknown) => number | null;
}

export function readerOf(settings: Pick<Settings, "language" | "units"> = defaultSettings): Reader {
  const language = settings.language ?? "en";
  const unit = settings.units ?? "mm";
  return {
    language,
    words: exploreWords[language],
    unit,
    unitName: unitName(unit, language),
    inUnit: (mm) => (typeof mm === "number" ? toLengthUnit(mm, unit) : null),
  };
}

/** Rows with some columns of millimetres in the reader's unit. */
export function inUnitOf(reader: Reader, rows: readonly Row[], columns: readonly string[]): readonly Row[] {
  if (reader.unit === "mm") return rows;
  return rows.map((row) => ({
    ...row,
    ...Object.fromEntries(columns.map((name) => [name, reader.inUnit(row[name])])),
  }));
}

/** What a figure of lengths says: also that its rows stand in another unit, where they do. */
export function saysOfLengths({ unit, words }: Reader, says: string): string {
  return unit === "mm" ? says : `${says} ${words.rowsInMillimetres}`;
}
