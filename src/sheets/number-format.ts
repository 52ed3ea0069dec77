/** What a number under a number format stands for. */
type NumberMeaning = "number" | "percent" | "date" | "time" | "duration";

export interface NumberFormat {
  readonly meaning: NumberMeaning;
  /** Words that the format writes beside the number (`mm`, `"`), "" if none. */
  readonly words: string;
}

const plain: NumberFormat = { meaning: "number", words: "" };

/**
 * Formats that a workbook may use by number alone (ECMA-376 part 1, 18.8.30, the East Asian ones included).
 * Those whose meaning depends on the language of the program, 34, 35, 55 and 56, show a day or a time of day;
 * as a time they read right either way, since a time of a whole day or more is shown with its day.
 */
const builtIn = new Map<number, NumberMeaning>([
  ...meaning("percent", [9, 10]),
  ...meaning("date", [14, 15, 16, 17, 22, 27, 28, 29, 30, 31, 36, 50, 51, 52, 53, 54, 57, 58]),
  ...meaning("time", [18, 19, 20, 21, 32, 33, 34, 35, 45, 47, 55, 56]),
  ...meaning("duration", [46]),
]);

/** The meaning of a format that is known by its number alone. */
export function builtInNumberFormat(id: number): NumberFormat {
  const known = builtIn.get(id);
  return known === undefined ? plain : { meaning: known, words: "" };
}

/**
 * Reads a number format code (ECMA-376 part 1, 18.8.31). The first section decides, the one for positive
 * numbers; text in quotes, behind a backslash or in brackets is no part of the pattern, `[h]`, `[mm]` and
 * `[s]` excepted, which count up past a day.
 */
export function parseNumberFormat(code: string): NumberFormat {
  let pattern = "";
  let words = "";
  let duration = false;
  for (let at = 0; at < code.length; at++) {
    const character = code[at];
    if (character === '"') {
      const close = code.indexOf('"', at + 1);
      const end = close === -1 ? code.length : close;
      words += code.slice(at + 1, end);
      at = end;
    } else if (character === "\\") {
      words += code[++at] ?? "";
    } else if (character === "_" || character === "*") {
      at++;
    } else if (character === "[") {
      const close = code.indexOf("]", at);
      const end = close === -1 ? code.length : close;
      if (/^\[(h+|m+|s+)$/i.test(code.slice(at, end))) duration = true;
      at = end;
    } else if (character === ";") {
      break;
    } else {
      pattern += character;
    }
  }
  const letters = pattern.toLowerCase().replace(/general|am\/pm|a\/p/g, "");
  if (duration) return { meaning: "duration", words: "" };
  if (/[yd]/.test(letters)) return { meaning: "date", words: "" };
  if (/[hs]/.test(letters)) return { meaning: "time", words: "" };
  if (/m/.test(letters)) return { meaning: "date", words: "" };
  const shown = /[\p{L}"'°′″%‰]/u.test(words) ? words.trim() : "";
  return { meaning: pattern.includes("%") ? "percent" : "number", words: shown };
}

function meaning(name: NumberMeaning, ids: readonly number[]): [number, NumberMeaning][] {
  return ids.map((id) => [id, name]);
}
