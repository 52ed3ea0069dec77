import type { Language } from "../records/language.ts";

/**
 * How numbers are worded. Digits follow the width of the interval: no more than the data can tell. One
 * definition for sentences (`phrase`) and labels (`label`).
 */
export interface Estimate {
  readonly value: number;
  readonly lo: number | null;
  readonly hi: number | null;
}

/** Between a number and its unit, so that a line never ends between them. */
export const NO_BREAK = "\u00a0";

const locales: Readonly<Record<Language, string>> = { en: "en-US", es: "es-MX" };
const to: Readonly<Record<Language, string>> = { en: "to", es: "a" };

/** A number with a fixed count of decimals, in the language's own marks. */
export function decimal(value: number, decimals: number, language: Language): string {
  const rounded = Number(value.toFixed(decimals));
  return formatOf(decimals, language)
    .format(Object.is(rounded, -0) ? 0 : rounded)
    .replace("-", "−");
}

const formats = new Map<string, Intl.NumberFormat>();

/** Making a format costs a hundred times what using it does. */
function formatOf(decimals: number, language: Language): Intl.NumberFormat {
  const key = `${language}${decimals}`;
  const format =
    formats.get(key) ??
    new Intl.NumberFormat(locales[language], {
      minimumFractionDigits: decimals,
      maximumFractionDigits: decimals,
    });
  formats.set(key, format);
  return format;
}

export function whole(value: number, language: Language): string {
  return decimal(value, 0, language);
}

/** Decimals that the interval's half width can carry: its first significant digit, at most `most`. */
export function decimalsFor({ value, lo, hi }: Estimate, most = 3): number {
  const half = lo !== null && hi !== null ? (hi - lo) / 2 : Math.abs(value) / 10;
  if (!(half > 0)) return Math.min(1, most);
  return Math.min(
    most,
    Math.max(0, 1 - Math.floor(Math.log10(half)) - (half >= 2 * 10 ** Math.floor(Math.log10(half)) ? 1 : 0)),
  );
}

/** `3.5 (3.3 to 3.6)` */
export function withLimits(estimate: Estimate, language: Language, decimals = decimalsFor(estimate)): string {
  const { value, lo, hi } = estimate;
  const main = decimal(value, decimals, language);
  return lo === null || hi === null
    ? main
    : `${main} (${decimal(lo, decimals, language)} ${to[language]} ${decimal(hi, decimals, language)})`;
}

/** A share as a percentage with its limits: `9 % (7 to 11 %)`. */
export function percentWithLimits(estimate: Estimate, language: Language): string {
  const scaled = {
    value: estimate.value * 100,
    lo: estimate.lo === null ? null : estimate.lo * 100,
    hi: estimate.hi === null ? null : estimate.hi * 100,
  };
  const decimals = scaled.hi !== null && scaled.lo !== null && scaled.hi - scaled.lo < 2 ? 1 : 0;
  const main = `${decimal(scaled.value, decimals, language)}${NO_BREAK}%`;
  if (scaled.lo === null || scaled.hi === null) return main;
  // nothing is left open: all or none, and no limit to tell
  if (scaled.hi < END || scaled.lo > 100 - END) return `${decimal(scaled.value, 0, language)}${NO_BREAK}%`;
  return `${main} (${decimal(scaled.lo, decimals, language)} ${to[language]} ${decimal(scaled.hi, decimals, language)}${NO_BREAK}%)`;
}

/** Percent from none, or from all, that no digit shown could tell. */
const END = 0.05;

/** A difference of shares in points of percent: `6 points (2 to 11)`. */
export function pointsWithLimits({ value, lo, hi }: Estimate, language: Language): string {
  const decimals = lo !== null && hi !== null && hi - lo < 0.02 ? 1 : 0;
  const shown = (one: number): string => decimal(one * 100, decimals, language);
  const main = shown(value);
  const points = main === shown(0.01) || main === shown(-0.01) ? pointWord.one : pointWord.many;
  const limits = lo === null || hi === null ? "" : ` (${shown(lo)} ${to[language]} ${shown(hi)})`;
  return `${main}${NO_BREAK}${points[language]}${limits}`;
}

const pointWord = {
  one: { en: "point", es: "punto" },
  many: { en: "points", es: "puntos" },
} as const;

/** A ratio with its limits: `1.4 (1.1 to 1.7)`, two decimals below 1. */
export function ratioWithLimits({ value, lo, hi }: Estimate, language: Language): string {
  const shown = (ratio: number): string => decimal(ratio, ratio < 1 ? 2 : ratio < 10 ? 1 : 0, language);
  return lo === null || hi === null
    ? shown(value)
    : `${shown(value)} (${shown(lo)} ${to[language]} ${shown(hi)})`;
}

/** A p or q value to three decimals, `< 0.001` below them. */
export function pValue(p: number, language: Language): string {
  return p < 0.001 ? `< ${decimal(0.001, 3, language)}` : decimal(p, 3, language);
}

/** A chance in words with its number: `about 1 in 5`, `about 4 in 5`. */
export function chanceInWords(chance: number, language: Language): string {
  const about = { en: "about", es: "cerca de" }[language];
  const inWord = { en: "in", es: "de cada" }[language];
  if (chance < 0.01) return { en: "less than 1 in 100", es: "menos de 1 de cada 100" }[language];
  if (chance > 0.99) return { en: "more than 99 in 100", es: "más de 99 de cada 100" }[language];
  const off = ([count, out]: Fraction): number => Math.abs(count / out - chance);
  // a plainer fraction gives way only to one that is clearly nearer
  const [count, out] = plainFractions.reduce((best, next) => (off(next) < off(best) - 0.01 ? next : best));
  return `${about} ${count} ${inWord} ${out}`;
}

type Fraction = readonly [count: number, out: number];

/** Fractions that are easily pictured, the plainest first: halves to fifths, tenths, then one off the ends. */
const plainFractions: readonly Fraction[] = [
  [1, 2],
  [1, 3],
  [2, 3],
  [1, 4],
  [3, 4],
  ...[1, 2, 3, 4].map((count): Fraction => [count, 5]),
  ...[1, 3, 7, 9].map((count): Fraction => [count, 10]),
  ...[20, 50, 100].flatMap((out): Fraction[] => [
    [1, out],
    [out - 1, out],
  ]),
];
