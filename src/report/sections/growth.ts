import type { GrowthSummaryRow } from "../../findings/growth-summary.ts";
import { wordCodes } from "../../records/codes.ts";
import type { Chart } from "../charts/chart.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { limitsPerMonth, ratePerMonth, toLengthUnit, unitName } from "../length-units.ts";
import { whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { type DataTable, numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { sentence } from "../words/count.ts";
import { type GroupKind, groupWords } from "../words/groups.ts";
import { growthWords } from "../words/growth.ts";
import { pageWords } from "../words/page.ts";
import { endInWords, endsOf, type GroupFigure, inOrder, plotRows } from "./group-intervals.ts";

/** The flock's growth: the figure that every other one of horn stands beside. */
export function growthSection(input: SeasonPageInput): Section {
  const { language, flock } = input;
  const words = growthWords[language];
  const row = flockRow(input);
  if (row?.rate_mm_30d == null) {
    return {
      id: "growth",
      question: words.question,
      heading: words.none,
      rests: wordCodes(row?.caution ?? null, language),
    };
  }
  const estimate = { value: row.rate_mm_30d, lo: row.lo, hi: row.hi };
  const feet = figuresOf(input, "foot");
  return {
    id: "growth",
    question: words.question,
    heading: words.heading(ratePerMonth({ ...estimate, lo: null, hi: null }, flock.unit, language)),
    text: [words.sentence(ratePerMonth(estimate, flock.unit, language), row.animals)],
    rests: words.rests(row.animals, row.intervals),
    ...(row.caution === null ? {} : { cautions: [sentence(wordCodes(row.caution, language))] }),
    ...(feet.length > 0
      ? {
          chart: plotOf(input, words.byQuestion.foot, feet),
          table: tableOf(input, words.byQuestion.foot, "foot"),
        }
      : {}),
    answer: {
      sentence: words.sentence(ratePerMonth(estimate, flock.unit, language), row.animals),
      strength: 50,
    },
  };
}

/** Growth by one kind of group; null where there is only one group, or none. */
export function growthBySection(input: SeasonPageInput, kind: GroupKind): Section | null {
  const { language } = input;
  const words = growthWords[language];
  const figures = figuresOf(input, kind);
  if (figures.length < 2) return null;
  const { place } = groupWords[language];
  const ends = endsOf(figures);
  const heading = ends
    ? words.byHeading(place(kind, ends.highest.group), place(kind, ends.lowest.group), ends.apart)
    : words.tooFewGroups;
  const rows = input.findings.growthSummary.filter((row) => row.group_kind === kind);
  const isModelled = kind === "line" && input.findings.lines.some((row) => row.trait === "growth");
  const cautions = [
    ...(ends?.allOverlap ? [pageWords[language].overlap] : []),
    ...(kind === "arm" && input.findings.trialEffect.some((row) => row.unit === "pen")
      ? [words.armsArePens]
      : []),
    ...(isModelled ? [words.asTheyStood] : []),
  ];
  return {
    id: `growth-${kind}`,
    question: words.byQuestion[kind],
    heading,
    chart: plotOf(input, heading, figures),
    rests: words.rests(
      flockRow(input)?.animals ?? 0,
      rows.reduce((sum, row) => sum + row.intervals, 0),
    ),
    ...(cautions.length > 0 ? { cautions } : {}),
    table: tableOf(input, words.byQuestion[kind], kind),
    // what arms differ by is for the comparison of the units that were assigned to tell, and what lines differ by
    // for the model that takes their pens out
    ...(ends?.apart && kind !== "arm" && !isModelled
      ? {
          answer: {
            sentence: words.byAnswer(
              endInWords(kind, ends.highest, language),
              endInWords(kind, ends.lowest, language),
            ),
            strength: 30,
          },
        }
      : {}),
  };
}

export function flockRow({ findings }: SeasonPageInput): GrowthSummaryRow | undefined {
  return findings.growthSummary.find((row) => row.group_kind === "flock");
}

function figuresOf(input: SeasonPageInput, kind: GroupKind): readonly GroupFigure[] {
  const { language, flock, findings } = input;
  const scaled = (mm: number | null): number | null => (mm === null ? null : toLengthUnit(mm, flock.unit));
  return findings.growthSummary
    .filter((row) => row.group_kind === kind)
    .map((row) => ({
      kind,
      group: row.group_value,
      value: scaled(row.rate_mm_30d),
      lo: scaled(row.lo),
      hi: scaled(row.hi),
      count: row.animals,
      caution: row.caution,
      says:
        row.rate_mm_30d === null
          ? ""
          : ratePerMonth({ value: row.rate_mm_30d, lo: row.lo, hi: row.hi }, flock.unit, language),
    }));
}

function plotOf(input: SeasonPageInput, title: string, figures: readonly GroupFigure[]): Chart {
  const { language, flock } = input;
  const words = growthWords[language];
  const all = flockRow(input);
  return intervalPlot({
    title,
    axis: words.axis(unitName(flock.unit, language)),
    counted: columnName("animals", language).toLowerCase(),
    rows: plotRows(figures, language),
    ...(all?.rate_mm_30d == null
      ? {}
      : {
          reference: {
            value: toLengthUnit(all.rate_mm_30d, flock.unit),
            label: groupWords[language].wholeFlock,
          },
        }),
  });
}

function tableOf(input: SeasonPageInput, caption: string, kind: GroupKind): DataTable {
  const { language, flock, findings } = input;
  const rows = findings.growthSummary.filter((row) => row.group_kind === kind);
  const order = inOrder(figuresOf(input, kind)).map((figure) => figure.group);
  return {
    caption,
    columns: [
      wordsColumn(columnName("group", language)),
      numberColumn(columnName("animals", language)),
      numberColumn(columnName("intervals", language)),
      numberColumn(
        `${columnName("rate", language)}, ${unitName(flock.unit, language)}, ${columnName("limits", language)}`,
      ),
      wordsColumn(columnName("note", language)),
    ],
    rows: order
      .map((group) => rows.find((row) => row.group_value === group)!)
      .map((row) => [
        groupWords[language].label(kind, row.group_value),
        whole(row.animals, language),
        whole(row.intervals, language),
        limitsPerMonth(row.rate_mm_30d, row.lo, row.hi, flock.unit, language),
        wordCodes(row.caution, language),
      ]),
  };
}
