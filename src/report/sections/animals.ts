import type { GrowthAnimalRow } from "../../findings/growth-animal.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { toLengthUnit } from "../length-units.ts";
import { decimal, whole, withLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import type { Section } from "../section.ts";
import { findingWords } from "../words/findings.ts";

const SHOWN = 15;

interface Figure {
  readonly row: GrowthAnimalRow;
  readonly value: number;
  readonly lo: number;
  readonly hi: number;
}

/** The goats whose horn grows fastest, each with its own limits beside the flock's mean. */
export function animalGrowthSection({ language, flock, findings }: SeasonPageInput): Section {
  const words = findingWords[language];
  const all = findings.growthSummary.find((row) => row.group_kind === "flock");
  const figures = findings.growthAnimal.map(figureOf).filter((figure) => figure !== null);
  if (figures.length === 0 || all?.rate_mm_30d == null) {
    return { id: "animals", question: words.animalsQuestion, heading: words.animalsNone, rests: "" };
  }
  const mean = all.rate_mm_30d;
  figures.sort((a, b) => b.value - a.value);
  const clear = figures.filter((figure) => figure.lo > mean);
  const shown = figures.slice(0, SHOWN);
  const scaled = (mm: number): number => toLengthUnit(mm, flock.unit);
  const allOverlap =
    Math.max(...figures.map((figure) => figure.lo)) <= Math.min(...figures.map((figure) => figure.hi));
  const heading = words.animalsHeading(clear.length);
  return {
    id: "animals",
    question: words.animalsQuestion,
    heading,
    chart: intervalPlot({
      title: heading,
      description: shown
        .map(
          ({ row, value, lo, hi }) =>
            `${row.animal}: ${withLimits({ value: scaled(value), lo: scaled(lo), hi: scaled(hi) }, language, 1)}`,
        )
        .join("; "),
      axis: words.growthAxis(flock.unit),
      rows: shown.map(({ row, value, lo, hi }) => ({
        label: row.animal,
        value: scaled(value),
        lo: scaled(lo),
        hi: scaled(hi),
        note: whole(row.intervals, language),
      })),
      reference: { value: scaled(mean), label: words.flockMean },
    }),
    rests: words.rests(
      figures.length,
      whole(
        figures.reduce((sum, { row }) => sum + row.intervals, 0),
        language,
      ),
      "intervals",
    ),
    ...(allOverlap ? { cautions: [words.overlap] } : {}),
    table: {
      caption: words.animalsQuestion,
      columns: [
        { name: words.columns.animal, numeric: false },
        { name: words.columns.intervals, numeric: true },
        { name: `${words.columns.rate}, ${flock.unit}`, numeric: true },
        { name: words.columns.limits, numeric: true },
      ],
      rows: figures.map(({ row, value, lo, hi }) => [
        row.animal,
        whole(row.intervals, language),
        decimal(scaled(value), flock.unit === "in" ? 2 : 1, language),
        `${decimal(scaled(lo), flock.unit === "in" ? 2 : 1, language)} – ${decimal(scaled(hi), flock.unit === "in" ? 2 : 1, language)}`,
      ]),
    },
  };
}

/** The model's figure where there is one, else the animal's own. */
function figureOf(row: GrowthAnimalRow): Figure | null {
  if (row.model_rate_mm_30d !== null && row.model_lo !== null && row.model_hi !== null) {
    return { row, value: row.model_rate_mm_30d, lo: row.model_lo, hi: row.model_hi };
  }
  if (row.rate_mm_30d === null || row.lo === null || row.hi === null) return null;
  return { row, value: row.rate_mm_30d, lo: row.lo, hi: row.hi };
}
