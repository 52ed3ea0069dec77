import { fold } from "./fold.ts";
import { matchHeader } from "./header-words.ts";
import { dayParts, monthOf } from "./read-day.ts";

/** Headers as days, with the year put in where they name none. */
export interface DaysAcross {
  readonly texts: readonly string[];
  /** Whether some name day and month alone and nothing says of which year. */
  readonly lacksYear: boolean;
}

/**
 * Puts the year into headers that name day and month alone (`3/5`, `5 Mar`, `Mar 5`), where the titles above
 * and the whole dates beside them name one year and no other. Fewer than two such headers are left as they are, and
 * so is a row without a header for the animal: there `3/8` is a length.
 */
export function daysWithYear(headers: readonly string[], titles: readonly string[]): DaysAcross {
  const isHeader = headers.some((header) => matchHeader("trims", header)?.column.name === "animal");
  const partial = headers.map((header) => (isHeader ? partialDay(header) : null));
  if (partial.filter((one) => one !== null).length < 2) return { texts: headers, lacksYear: false };
  const years = new Set(
    [...titles, ...headers].flatMap((text) => text.match(/(?<!\d)(?:19|20)\d\d(?!\d)/g) ?? []),
  );
  const [year] = years;
  const known = years.size === 1;
  return {
    // a year nobody names is put in only so that the layout is seen; the sheet is then asked about
    texts: headers.map((header, i) => partial[i]?.(known ? year! : "2000") ?? header),
    lacksYear: !known,
  };
}

/** How a day and month without a year reads with one; null for any other text. */
function partialDay(header: string): ((year: string) => string) | null {
  const text = header.trim();
  if (dayParts(text) !== null) return null;
  // without its second dot it would be a decimal number
  const numbers = /^(\d{1,2})(?:(\/)(\d{1,2})|(\.)(\d{1,2})\.)$/.exec(text);
  if (numbers !== null) {
    const [, first, stroke, second, dot, other] = numbers;
    return (year) => [first, second ?? other, year].join(stroke ?? dot);
  }
  const words = fold(text)
    .replace(/(\d)(?:st|nd|rd|th)\b/g, "$1")
    .split(" ")
    .filter((word) => word !== "de");
  const month = words.find((word) => monthOf(word) !== null);
  const day = words.find((word) => /^\d{1,2}$/.test(word));
  return words.length === 2 && month !== undefined && day !== undefined
    ? (year) => `${day} ${month} ${year}`
    : null;
}
