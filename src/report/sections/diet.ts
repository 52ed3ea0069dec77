import type { DietRow } from "../../findings/diet.ts";
import { readCodes, wordCodes } from "../../records/codes.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { dayShort } from "../dates.ts";
import { decimal } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, shortColumn, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { capital, sentence } from "../words/count.ts";
import { dietWords, type Nutrient } from "../words/diet.ts";
import { groupWords } from "../words/groups.ts";

/** A nutrient of each pen's diet against what is published for the goats that ate it; null where none is known. */
export function dietSection(input: SeasonPageInput, nutrient: Nutrient): Section | null {
  const { language, findings } = input;
  const words = dietWords[language];
  const rows = findings.diet.filter((row) => row.nutrient === nutrient);
  if (rows.length === 0) return null;
  const latest = latestOf(rows);
  const pens = new Set(latest.map((row) => row.pen)).size;
  const heading = headingOf(input, nutrient, rows);
  const below = isAbove(rows) ? pensWith(rows, BELOW) : 0;
  const advised = [...new Set(rows.filter((row) => standOf(row) !== "within").map((row) => row.verdict))]
    .filter((verdict) => readCodes(verdict).some(({ id }) => ADVISING.includes(id)))
    .map((verdict) => `${words.columns.value}: ${wordCodes(verdict, language)}`);
  const ranged = latest.filter((row) => row.requirement_lo !== null || row.tolerance !== null);
  return {
    id: nutrient === "copper" ? "diet" : `diet-${nutrient}`,
    question: words.question[nutrient],
    heading,
    ...(below > 0 ? { text: [sentence(words.below(nutrient, below))] } : {}),
    ...(ranged.length > 0
      ? {
          chart: intervalPlot({
            title: heading,
            axis: words.axis[nutrient],
            counted: words.unit[nutrient],
            ranges: true,
            rows: latest.map((row) => ({
              label: `${row.pen}, ${className(row, input)}`,
              value: row.value,
              lo: row.requirement_lo,
              hi: row.tolerance ?? row.requirement_hi,
              count: decimal(row.value, 1, language),
              says: `${row.pen}, ${className(row, input)}: ${decimal(row.value, 1, language)} ${words.unit[nutrient]}; ${wordCodes(row.verdict, language)}`,
              reason: "",
            })),
          }),
        }
      : {}),
    rests: [words.rests(pens), ...sourcesOf(rows, words.columns.source)].join(". "),
    ...(advised.length > 0 ? { cautions: advised.map(sentence) } : {}),
    table: {
      caption: words.question[nutrient],
      columns: [
        wordsColumn(columnName("pen", language)),
        wordsColumn(words.columns.class),
        shortColumn(words.columns.from),
        numberColumn(words.columns.value),
        shortColumn(words.columns.range),
        shortColumn(words.columns.verdict),
        wordsColumn(columnName("note", language)),
      ],
      rows: eaten(rows, input).map(({ classes, row }) => [
        row.pen,
        classes.join(", "),
        dayShort(Math.max(row.date_from, input.season.from), language, true),
        `${decimal(row.value, 1, language)} ${words.unit[nutrient]}`.trim(),
        rangeOf(row, input),
        words.stands[standOf(row)],
        wordCodes(row.caution, language),
      ]),
    },
    ...(isTrouble(rows) ? { answer: { sentence: sentence(heading), strength: 42 } } : {}),
  };
}

/** The season's last diet of each pen and class, pens in the order of their names. */
function latestOf(rows: readonly DietRow[]): readonly DietRow[] {
  const last = new Map<string, DietRow>();
  for (const row of rows) {
    const key = `${row.pen}\n${row.animal_class}`;
    const known = last.get(key);
    if (!known || row.date_from > known.date_from) last.set(key, row);
  }
  return [...last.values()].sort(byPen);
}

/** Diets as eaten: a row for each change of the figure shown, classes of one pen with one range together. */
function eaten(
  rows: readonly DietRow[],
  input: SeasonPageInput,
): readonly { readonly classes: readonly string[]; readonly row: DietRow }[] {
  const changes = [...rows].sort(byPen).filter((row, i, all) => {
    const before = all[i - 1];
    return !(
      before?.pen === row.pen &&
      before.animal_class === row.animal_class &&
      decimal(before.value, 1, "en") === decimal(row.value, 1, "en")
    );
  });
  const together = new Map<string, { classes: string[]; row: DietRow }>();
  for (const row of changes) {
    const { pen, date_from, value, requirement_lo, requirement_hi, tolerance, verdict, caution } = row;
    const from = Math.max(date_from, input.season.from);
    const key = [
      pen,
      from,
      decimal(value, 1, "en"),
      requirement_lo,
      requirement_hi,
      tolerance,
      verdict,
      caution,
    ];
    const known = together.get(key.join("\n"));
    if (known) known.classes.push(className(row, input));
    else together.set(key.join("\n"), { classes: [className(row, input)], row });
  }
  return [...together.values()];
}

/** Where the ranges come from, each source once. */
function sourcesOf(rows: readonly DietRow[], head: string): readonly string[] {
  const sources = [...new Set(rows.map(({ source }) => source).filter((one) => one !== null && one !== ""))];
  return sources.length === 0 ? [] : [`${head}: ${sources.join("; ")}`];
}

function standOf(row: DietRow): "below" | "within" | "above" | "noRange" {
  if (hasVerdict(row, ["copper_kills_sheep", ...ABOVE])) return "above";
  if (hasVerdict(row, BELOW)) return "below";
  return hasVerdict(row, ["diet_no_range"]) ? "noRange" : "within";
}

function byPen(a: DietRow, b: DietRow): number {
  const key = (row: DietRow): string => `${row.pen}\n${row.animal_class}`;
  return key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : a.date_from - b.date_from;
}

function headingOf(input: SeasonPageInput, nutrient: Nutrient, rows: readonly DietRow[]): string {
  const words = dietWords[input.language];
  const sheep = pensWith(rows, ["copper_kills_sheep"]);
  if (sheep > 0) return words.sheep(sheep);
  const above = pensWith(rows, ABOVE);
  if (above > 0) return words.above(nutrient, above);
  const below = pensWith(rows, BELOW);
  if (below > 0) return words.below(nutrient, below);
  const within = pensWith(rows, ["copper_meets", "diet_meets", "copper_under_sheep_limit"]);
  return within > 0 ? words.within(nutrient, within) : words.noRange(nutrient);
}

const ABOVE = ["copper_above_tolerance", "diet_above_range"];
/** Verdicts that say what to do, which a reader must have whole. */
const ADVISING = ["copper_kills_sheep", "copper_above_tolerance", "copper_below", "thin_molybdenum"];
const BELOW = ["copper_below", "diet_below", "thin_molybdenum"];

function pensWith(rows: readonly DietRow[], verdicts: readonly string[]): number {
  return new Set(rows.filter((row) => hasVerdict(row, verdicts)).map((row) => row.pen)).size;
}

/** Above a maximum somewhere, so that the heading speaks of that alone. */
function isAbove(rows: readonly DietRow[]): boolean {
  return rows.some((row) => hasVerdict(row, ["copper_kills_sheep", ...ABOVE]));
}

function hasVerdict({ verdict }: DietRow, verdicts: readonly string[]): boolean {
  return readCodes(verdict).some(({ id }) => verdicts.includes(id));
}

/** Above a maximum, or below a requirement. */
function isTrouble(rows: readonly DietRow[]): boolean {
  const troubles = [
    "copper_kills_sheep",
    "copper_above_tolerance",
    "copper_below",
    "diet_below",
    "thin_molybdenum",
  ];
  return rows.some((row) => hasVerdict(row, troubles));
}

function className({ animal_class }: DietRow, { language }: SeasonPageInput): string {
  return animal_class === "sheep"
    ? dietWords[language].sheepClass
    : groupWords[language].label("class", animal_class);
}

function rangeOf(
  { requirement_lo, requirement_hi, tolerance }: DietRow,
  { language }: SeasonPageInput,
): string {
  const words = dietWords[language];
  const least = requirement_lo === null ? null : decimal(requirement_lo, 1, language);
  const most = tolerance ?? requirement_hi;
  if (most === null) return least === null ? "" : words.atLeast(least);
  const end = decimal(most, 1, language);
  return least === null ? capital(words.upTo(end)) : `${least} – ${end}`;
}
