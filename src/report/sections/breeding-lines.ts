import type { LineRow } from "../../findings/breeding/breeding-tables.ts";
import { readCodes, wordCode, wordCodes } from "../../records/codes.ts";
import type { Language } from "../../records/language.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { differencePerMonth, toLengthUnit, unitName } from "../length-units.ts";
import { chanceInWords, ratioWithLimits, whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { breedingWords } from "../words/breeding.ts";
import { columnName } from "../words/columns.ts";
import { capital, sentence } from "../words/count.ts";
import { pageWords } from "../words/page.ts";
import { allOverlap } from "./group-intervals.ts";

type Trait = "growth" | "lameness";

/** A line's difference from the others in the reader's terms: a length a month, or a ratio of odds. */
interface LineFigure {
  readonly row: LineRow;
  readonly value: number | null;
  readonly lo: number | null;
  readonly hi: number | null;
  readonly says: string;
}

/** Each line against the others by the pedigree's model; null where no line was asked about. */
export function breedingLineSection(input: SeasonPageInput, trait: Trait): Section | null {
  const { language, flock } = input;
  const words = breedingWords[language];
  const figures = figuresOf(input, trait);
  if (figures.length === 0) return null;
  const question = trait === "growth" ? words.growthQuestion : words.lamenessQuestion;
  const known = figures.filter(isKnown);
  if (known.length === 0) {
    return {
      id: `line-${trait}`,
      question,
      heading: capital(wordCodes(figures[0]!.row.caution, language)),
      rests: "",
    };
  }
  const none = trait === "growth" ? 0 : 1;
  const above = known.filter(({ lo }) => lo > none);
  const below = known.filter(({ hi }) => hi < none);
  const heading = headingOf(input, trait, above, below);
  const first = above[0] ?? below.at(-1);
  const cautions = [
    ...(allOverlap(known) ? [pageWords[language].overlap] : []),
    ...(hasNoParents(input) ? [words.noParents] : []),
    ...(isCoveredUnalike(input, trait, figures) ? [words.coveredUnalike] : []),
  ];
  return {
    id: `line-${trait}`,
    question,
    heading,
    ...(first ? { text: [sentenceOf(input, trait, first)] } : {}),
    chart: intervalPlot({
      title: heading,
      axis: trait === "growth" ? words.growthAxis(unitName(flock.unit, language)) : words.lamenessAxis,
      counted: columnName("animals", language).toLowerCase(),
      rows: figures.map((figure) => {
        const why = readCodes(figure.row.caution)[0];
        const reason = figure.value === null && why ? wordCode(why, language) : "";
        return {
          label: figure.row.line,
          value: figure.value,
          lo: figure.lo,
          hi: figure.hi,
          count: whole(figure.row.animals, language),
          says: `${figure.row.line}: ${figure.value === null ? reason : figure.says}`,
          reason: capital(reason),
        };
      }),
      reference: { value: none, label: words.otherLines },
      ...(trait === "growth"
        ? { endWords: { less: words.slower, more: words.faster } }
        : { ratio: true, endWords: { less: words.less, more: words.more } }),
    }),
    rests: `${words.rests(figures.reduce((sum, { row }) => sum + row.animals, 0))}. ${words.allRecords}`,
    ...(cautions.length > 0 ? { cautions } : {}),
    table: {
      caption: question,
      columns: [
        wordsColumn(words.line),
        numberColumn(columnName("animals", language)),
        numberColumn(words.covered[trait]),
        numberColumn(
          trait === "growth" ? words.growthAxis(unitName(flock.unit, language)) : words.lamenessAxis,
        ),
        wordsColumn(words.chanceAbove),
        wordsColumn(words.needed),
        wordsColumn(columnName("note", language)),
      ],
      rows: figures.map(({ row, says }) => [
        row.line,
        whole(row.animals, language),
        coveredInWords(coveredOf(input, trait, row.line), language),
        says,
        row.p_worse_than_flock === null ? "" : chanceInWords(row.p_worse_than_flock, language),
        neededInWords(row, language),
        wordCodes(row.caution, language),
      ]),
    },
    ...(first ? { answer: { sentence: sentenceOf(input, trait, first), strength: 65 } } : {}),
  };
}

/** Empty where nothing is told of the line, or its flock was too large to ask. */
function neededInWords(row: LineRow, language: Language): string {
  if (row.difference === null || readCodes(row.caution).some(({ id }) => id === "needed_not_asked"))
    return "";
  const number = (value: number | null): string | null => (value === null ? null : whole(value, language));
  return breedingWords[language].neededOf(number(row.goats_needed), number(row.visits_needed));
}

interface Covered {
  readonly seen: number;
  readonly present: number;
}

/** Goats of a line with a measure or a score this season, and those present. */
function coveredOf({ findings }: SeasonPageInput, trait: Trait, line: string): Covered | null {
  const row = findings.coverage.find((one) => one.group_kind === "line" && one.group_value === line);
  return row === undefined
    ? null
    : { seen: trait === "growth" ? row.measured : row.scored, present: row.present };
}

function coveredInWords(covered: Covered | null, language: Language): string {
  return covered === null ? "" : `${whole(covered.seen, language)} / ${whole(covered.present, language)}`;
}

/** A line of which less than this share of the best looked-at line's share was seen is not looked at alike. Project default. */
const ALIKE_SHARE = 0.5;

function isCoveredUnalike(input: SeasonPageInput, trait: Trait, figures: readonly LineFigure[]): boolean {
  const shares = figures.flatMap(({ row }) => {
    const covered = coveredOf(input, trait, row.line);
    return covered === null || covered.present === 0 ? [] : [covered.seen / covered.present];
  });
  return Math.min(...shares) < ALIKE_SHARE * Math.max(...shares);
}

function hasNoParents({ findings: { breedingValues } }: SeasonPageInput): boolean {
  return breedingValues.length > 0 && breedingValues.every(({ sire, dam }) => sire === null && dam === null);
}

type Known = LineFigure & { readonly value: number; readonly lo: number; readonly hi: number };

const isKnown = (figure: LineFigure): figure is Known =>
  figure.value !== null && figure.lo !== null && figure.hi !== null;

/** Lines by how far they stand above the others; silent ones last. */
function figuresOf(input: SeasonPageInput, trait: Trait): readonly LineFigure[] {
  const { language, flock, findings } = input;
  return findings.lines
    .filter((row) => row.trait === trait)
    .map((row): LineFigure => {
      const { difference, diff_lo, diff_hi } = row;
      if (difference === null) return { row, value: null, lo: null, hi: null, says: "" };
      const of = (one: number | null): number | null =>
        one === null ? null : trait === "growth" ? toLengthUnit(one, flock.unit) : Math.exp(one);
      const estimate = { value: difference, lo: diff_lo, hi: diff_hi };
      const scaled = { value: of(difference)!, lo: of(diff_lo), hi: of(diff_hi) };
      return {
        row,
        ...scaled,
        says:
          trait === "growth"
            ? differencePerMonth(estimate, flock.unit, language)
            : ratioWithLimits(scaled, language),
      };
    })
    .sort((a, b) => (b.value ?? -Infinity) - (a.value ?? -Infinity));
}

function headingOf(
  { language }: SeasonPageInput,
  trait: Trait,
  above: readonly Known[],
  below: readonly Known[],
): string {
  const words = breedingWords[language];
  const names = (figures: readonly Known[]): string[] => figures.map(({ row }) => row.line);
  const growth = trait === "growth";
  if (above.length > 0) return growth ? words.growthAbove(names(above)) : words.lamenessAbove(names(above));
  if (below.length > 0) return growth ? words.growthBelow(names(below)) : words.lamenessBelow(names(below));
  return growth ? words.growthNoneApart : words.lamenessNoneApart;
}

function sentenceOf({ language, flock }: SeasonPageInput, trait: Trait, { row, says }: LineFigure): string {
  const words = breedingWords[language];
  const chance = chanceInWords(row.p_worse_than_flock ?? 0.5, language);
  if (trait === "lameness") return sentence(words.lamenessSentence(row.line, says, chance));
  const difference = row.difference ?? 0;
  const sign = Math.sign(difference);
  const ends = [row.diff_lo, row.diff_hi].map((end) => (end === null ? null : sign * end));
  const amount = differencePerMonth(
    { value: Math.abs(difference), lo: ends[sign > 0 ? 0 : 1]!, hi: ends[sign > 0 ? 1 : 0]! },
    flock.unit,
    language,
  );
  return sentence(words.growthSentence(row.line, amount, difference > 0, chance));
}
