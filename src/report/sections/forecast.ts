import type { ForecastScoreRow } from "../../findings/forecast-score.ts";
import { wordCodes } from "../../records/codes.ts";
import type { Language } from "../../records/language.ts";
import { calibrationPlot } from "../charts/calibration-plot.ts";
import { decimal, percentWithLimits, whole, withLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section } from "../section.ts";
import { type ForecastWords, forecastWords } from "../words/forecast.ts";

/** How the forecast of who is past the limit would have done on the flock's own past; null where none was made. */
export function forecastSection({ language, findings }: SeasonPageInput): Section | null {
  const words = forecastWords[language];
  const all = findings.forecastScore.find((row) => row.tenth === 0);
  if (!all) return null;
  if (all.seen === null || all.mean_forecast === null || all.brier === null) {
    return {
      id: "forecast",
      question: words.question,
      heading: words.tooFew,
      rests: wordCodes(all.caution, language),
    };
  }
  const tenths = findings.forecastScore.filter((row) => row.tenth > 0 && row.seen !== null);
  const heading = verdict(words, all);
  const said = words.sentence(all.forecasts, share(all.mean_forecast, language), seenOf(all, language));
  const difference = { value: all.brier_difference ?? 0, lo: all.difference_lo, hi: all.difference_hi };
  return {
    id: "forecast",
    question: words.question,
    heading,
    text: [
      said,
      words.brier(
        decimal(all.brier, 3, language),
        decimal(all.brier_of_eight_week_rule ?? 0, 3, language),
        withLimits(difference, language, 3),
      ),
    ],
    chart: calibrationPlot({
      title: heading,
      axis: words.axis,
      measure: words.measure,
      exact: words.exact,
      tenths: tenths.map((row) => ({
        forecast: row.mean_forecast ?? 0,
        seen: row.seen ?? 0,
        lo: row.lo,
        hi: row.hi,
        says: words.tenth(share(row.mean_forecast ?? 0, language), seenOf(row, language), row.forecasts),
      })),
    }),
    rests: words.rests(all.forecasts, all.animals),
    table: {
      caption: words.question,
      columns: (["forecast", "forecasts", "seen", "brier", "rule"] as const).map((id) =>
        numberColumn(words.columns[id]),
      ),
      rows: [...tenths, all].map((row) => [
        row === all
          ? words.allForecasts(share(row.mean_forecast ?? 0, language))
          : share(row.mean_forecast ?? 0, language),
        whole(row.forecasts, language),
        seenOf(row, language),
        row.brier === null ? "" : decimal(row.brier, 3, language),
        row.brier_of_eight_week_rule === null ? "" : decimal(row.brier_of_eight_week_rule, 3, language),
      ]),
    },
    answer: { sentence: said, strength: 25 },
  };
}

function verdict(words: ForecastWords, { difference_lo, difference_hi }: ForecastScoreRow): string {
  if (difference_hi !== null && difference_hi < 0) return words.better;
  return difference_lo !== null && difference_lo > 0 ? words.worse : words.alike;
}

function share(value: number, language: Language): string {
  return percentWithLimits({ value, lo: null, hi: null }, language);
}

function seenOf(row: ForecastScoreRow, language: Language): string {
  return percentWithLimits({ value: row.seen ?? 0, lo: row.lo, hi: row.hi }, language);
}
