import type { GrowthAnimalRow } from "../../findings/growth-animal.ts";
import { animalCell } from "../animal-anchor.ts";
import { dotPile } from "../charts/dot-pile.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { limitsPerMonth, ratePerMonth, toLengthUnit, unitName } from "../length-units.ts";
import { chanceInWords, whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { type DataTable, numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { groupWords } from "../words/groups.ts";
import { growthWords } from "../words/growth.ts";
import { pageWords } from "../words/page.ts";
import { allOverlap } from "./group-intervals.ts";
import { flockRow } from "./growth.ts";

const SHOWN = 12;
/** Goats from which it is worth a picture how they are spread. Project default. */
const LEAST_DOTS = 8;

/** An animal's growth: the model's figure where there is one, else from its own records alone. */
interface Figure {
  readonly row: GrowthAnimalRow;
  readonly value: number;
  readonly lo: number;
  readonly hi: number;
}

/** The goats whose hooves grow fastest, each with its own limits beside the flock's mean. */
export function animalGrowthSection(input: SeasonPageInput): Section {
  const { language, flock } = input;
  const words = growthWords[language];
  const figures = figuresOf(input);
  const mean = flockRow(input)?.rate_mm_30d;
  if (figures.length === 0 || mean == null) {
    return { id: "animals", question: words.animalsQuestion, heading: words.animalsNone, rests: "" };
  }
  const shown = figures.slice(0, SHOWN);
  const heading = words.animalsHeading(figures.filter((figure) => figure.lo > mean).length);
  const scaled = (mm: number): number => toLengthUnit(mm, flock.unit);
  return {
    id: "animals",
    question: words.animalsQuestion,
    heading,
    chart: intervalPlot({
      title: heading,
      axis: words.axis(unitName(flock.unit, language)),
      counted: columnName("intervals", language).toLowerCase(),
      rows: shown.map((figure) => ({
        label: figure.row.animal,
        value: scaled(figure.value),
        lo: scaled(figure.lo),
        hi: scaled(figure.hi),
        count: whole(figure.row.intervals, language),
        says: `${figure.row.animal}: ${ratePerMonth(figure, flock.unit, language)}`,
        reason: "",
      })),
      reference: { value: scaled(mean), label: groupWords[language].wholeFlock },
    }),
    rests: restsOf(input, figures),
    ...(allOverlap(figures) ? { cautions: [pageWords[language].overlap] } : {}),
    table: tableOf(input, words.animalsQuestion, figures),
  };
}

/** How the goats' own growth is spread, one dot a goat. */
export function growthSpreadSection(input: SeasonPageInput): Section | null {
  const { language, flock } = input;
  const words = growthWords[language];
  const figures = figuresOf(input);
  const mean = flockRow(input)?.rate_mm_30d;
  const fastest = figures[0];
  const slowest = figures.at(-1);
  if (figures.length < LEAST_DOTS || mean == null || !fastest || !slowest) return null;
  const shown = (mm: number): string => ratePerMonth({ value: mm, lo: null, hi: null }, flock.unit, language);
  const heading = words.spreadHeading(
    limitsPerMonth(slowest.value, null, null, flock.unit, language),
    shown(fastest.value),
  );
  return {
    id: "growth-spread",
    question: words.spreadQuestion,
    heading,
    chart: dotPile({
      title: heading,
      axis: words.spreadAxis(unitName(flock.unit, language)),
      measure: words.axis(unitName(flock.unit, language)),
      dots: figures.map((figure) => ({
        value: toLengthUnit(figure.value, flock.unit),
        says: `${figure.row.animal}: ${ratePerMonth(figure, flock.unit, language)}`,
      })),
      reference: { value: toLengthUnit(mean, flock.unit), label: groupWords[language].wholeFlock },
    }),
    rests: restsOf(input, figures),
    table: tableOf(input, words.spreadQuestion, figures),
  };
}

function figuresOf({ findings }: SeasonPageInput): readonly Figure[] {
  return findings.growthAnimal
    .map(figureOf)
    .filter((figure) => figure !== null)
    .sort((a, b) => b.value - a.value || (a.row.animal < b.row.animal ? -1 : 1));
}

function figureOf(row: GrowthAnimalRow): Figure | null {
  if (row.model_rate_mm_30d !== null && row.model_lo !== null && row.model_hi !== null) {
    return { row, value: row.model_rate_mm_30d, lo: row.model_lo, hi: row.model_hi };
  }
  if (row.rate_mm_30d === null || row.lo === null || row.hi === null) return null;
  return { row, value: row.rate_mm_30d, lo: row.lo, hi: row.hi };
}

function restsOf({ language }: SeasonPageInput, figures: readonly Figure[]): string {
  return growthWords[language].rests(
    figures.length,
    figures.reduce((sum, { row }) => sum + row.intervals, 0),
  );
}

function tableOf(input: SeasonPageInput, caption: string, figures: readonly Figure[]): DataTable {
  const { language, flock } = input;
  const withChance = figures.some(({ row }) => row.p_faster_than_flock !== null);
  return {
    caption,
    columns: [
      wordsColumn(columnName("animal", language)),
      numberColumn(columnName("intervals", language)),
      numberColumn(
        `${columnName("rate", language)}, ${unitName(flock.unit, language)}, ${columnName("limits", language)}`,
      ),
      ...(withChance ? [wordsColumn(columnName("chance", language))] : []),
    ],
    rows: figures.map(({ row, value, lo, hi }) => [
      animalCell(input, row.animal),
      whole(row.intervals, language),
      limitsPerMonth(value, lo, hi, flock.unit, language),
      ...(withChance
        ? [row.p_faster_than_flock === null ? "" : chanceInWords(row.p_faster_than_flock, language)]
        : []),
    ]),
  };
}
