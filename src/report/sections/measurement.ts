import type { MeasurementErrorRow } from "../../findings/measurement-error.ts";
import { intervalPlot } from "../charts/interval-plot.ts";
import { differenceLength, toLengthUnit, unitName } from "../length-units.ts";
import { whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { measuringWords } from "../words/measuring.ts";

/** How far two readings of one claw lie apart, by who measured; null where nothing was measured twice. */
export function measurementSection({ language, flock, findings }: SeasonPageInput): Section | null {
  const words = measuringWords[language];
  const all = [...findings.measurementError]
    .filter((row) => row.measurer === "all")
    .sort((a, b) => b.pairs - a.pairs)[0];
  if (!all) return null;
  const people = findings.measurementError
    .filter((row) => row.measurer !== "all" && row.measure === all.measure)
    .map((row, i) => ({ row, name: flock.namePeople ? row.measurer : words.measurer(i + 1) }));
  const rows = [{ row: all, name: words.everyone }, ...people];
  const unit = unitName(flock.unit, language);
  const shown = (mm: number): string => differenceLength(mm, flock.unit, language);
  const limits = ({ technical_error_mm, lo, hi }: MeasurementErrorRow): string =>
    `${shown(technical_error_mm)} (${shown(lo)} ${words.to} ${shown(hi)})`;
  const smallest = `${shown(all.smallest_detectable_change_mm)} ${unit}`;
  const heading = words.heading(smallest);
  return {
    id: "measurement",
    question: words.question,
    heading,
    text: [words.sentence(`${shown(all.technical_error_mm)} ${unit}`, all.pairs, smallest)],
    chart: intervalPlot({
      title: heading,
      axis: words.axis(unit),
      counted: words.pairs,
      rows: rows.map(({ row, name }) => ({
        label: name,
        value: toLengthUnit(row.technical_error_mm, flock.unit),
        lo: toLengthUnit(row.lo, flock.unit),
        hi: toLengthUnit(row.hi, flock.unit),
        count: whole(row.pairs, language),
        says: `${name}: ${limits(row)} ${unit}`,
        reason: "",
      })),
    }),
    rests: words.measures[all.measure] ?? all.measure,
    table: {
      caption: words.question,
      columns: [
        wordsColumn(columnName("group", language)),
        numberColumn(words.pairs),
        numberColumn(words.axis(unit)),
        numberColumn(words.smallest(unit)),
      ],
      rows: rows.map(({ row, name }) => [
        name,
        whole(row.pairs, language),
        limits(row),
        shown(row.smallest_detectable_change_mm),
      ]),
    },
  };
}
