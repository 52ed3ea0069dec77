import type { MonthWatchRow } from "../../findings/month-watch.ts";
import { wordCodes } from "../../records/codes.ts";
import { calendarDay, type DayNumber, dayNumber } from "../../records/days.ts";
import { axisEnds } from "../charts/axis-ends.ts";
import { type ControlChart, type ControlMonth, controlChart } from "../charts/control-chart.ts";
import { dayInWords, monthInWords } from "../dates.ts";
import { decimal, percentWithLimits, whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { columnName } from "../words/columns.ts";
import { sentence } from "../words/count.ts";
import { penMonthsWords } from "../words/pen-months.ts";
import { flockLameness } from "./lameness.ts";

/** Months that a pen's chart goes back from the season's end. */
const MONTHS_SHOWN = 24;

/**
 * Lame scores of each pen month by month between the limits of chance, new cases by month, and the signals of
 * the running sums; null where no pen was scored this season.
 */
export function penMonthsSection(input: SeasonPageInput): Section | null {
  const { language, findings, season } = input;
  const words = penMonthsWords[language];
  const scale = flockLameness(input)?.gait_scale;
  const rows = findings.monthWatch.filter(
    (row) => row.gait_scale === scale && monthPlace(firstDay(row)) <= monthPlace(season.to - 1),
  );
  const now = rows.filter((row) => monthPlace(firstDay(row)) >= monthPlace(season.from));
  if (now.length === 0) return null;
  const above = now.filter(isAbove);
  const signals = findings.signals.filter(
    (row) => row.gait_scale === scale && row.signalled >= season.from && row.signalled < season.to,
  );
  const nameOf = (row: MonthWatchRow): string => monthInWords(firstDay(row), language);
  const heading = words.heading(
    above.map((row) => words.place(row.pen, nameOf(row))),
    now.filter((row) => row.centre !== null).length,
  );
  const said = signals.map((row) =>
    words.signal(
      row.pen,
      dayInWords(row.started, language),
      dayInWords(row.signalled, language),
      row.lame,
      decimal(row.expected, 1, language),
      wordCodes(row.caution, language),
    ),
  );
  return {
    id: "pen-months",
    question: words.question,
    heading,
    text: [...(said.length > 0 ? said : [words.noSignal]), ...newCases(input)],
    small: chartsOf(input, rows),
    rests: words.key,
    table: {
      caption: words.question,
      columns: [
        wordsColumn(columnName("pen", language)),
        wordsColumn(columnName("month", language)),
        numberColumn(columnName("scores", language)),
        numberColumn(columnName("lame", language)),
        numberColumn(columnName("limitsOfChance", language)),
        wordsColumn(columnName("note", language)),
      ],
      rows: [...now]
        .sort(byPenAndMonth)
        .map((row) => [
          row.pen,
          nameOf(row),
          whole(row.scored, language),
          whole(row.lame, language),
          row.upper_limit === null ? "" : shareInWords(row.upper_limit, input),
          row.centre === null ? words.notKnown : isAbove(row) ? words.above : "",
        ]),
    },
    ...(above.length > 0 ? { answer: { sentence: sentence(heading), strength: 58 } } : {}),
  };
}

/** One chart a pen, all on the same months and the same scale. */
function chartsOf(input: SeasonPageInput, rows: readonly MonthWatchRow[]): NonNullable<Section["small"]> {
  const { language, season, findings, today } = input;
  const words = penMonthsWords[language];
  const last = monthPlace(Math.min(season.to - 1, today));
  const first = Math.max(last - MONTHS_SHOWN + 1, Math.min(...rows.map((row) => monthPlace(firstDay(row)))));
  const shown = rows.filter((row) => monthPlace(firstDay(row)) >= first);
  const { to } = axisEnds([0, ...shown.flatMap((row) => [row.lame / row.scored, row.upper_limit])], 3);
  const places = Array.from({ length: last - first + 1 }, (_, i) => first + i);
  const step = Math.max(1, Math.ceil(places.length / 4));
  const ticks = places.flatMap((place, at) =>
    at % step === 0 ? [{ at, label: tickLabel(place, input) }] : [],
  );
  const pens = [...new Set(shown.map((row) => row.pen))].sort();
  return pens.map((pen) => {
    const own = shown.filter((row) => row.pen === pen);
    const chart: ControlChart = {
      title: pen,
      top: Math.min(1, to),
      ticks,
      months: places.map((place) =>
        monthOf(
          input,
          own.find((row) => monthPlace(firstDay(row)) === place),
        ),
      ),
      signals: findings.signals
        .filter((row) => row.pen === pen && places.includes(monthPlace(row.signalled)))
        .map((row) => ({
          at: monthPlace(row.signalled) - first,
          says: words.signal(
            pen,
            dayInWords(row.started, language),
            dayInWords(row.signalled, language),
            row.lame,
            decimal(row.expected, 1, language),
            "",
          ),
        })),
    };
    return controlChart(chart);
  });
}

function monthOf(input: SeasonPageInput, row: MonthWatchRow | undefined): ControlMonth {
  if (!row) return { share: null, lower: null, upper: null, centre: null, outside: false, says: "" };
  const limit = row.upper_limit === null ? null : shareInWords(row.upper_limit, input);
  return {
    share: row.lame / row.scored,
    lower: row.lower_limit,
    upper: row.upper_limit,
    centre: row.centre,
    outside: row.outside,
    says: penMonthsWords[input.language].says(
      monthInWords(firstDay(row), input.language),
      row.lame,
      row.scored,
      limit,
    ),
  };
}

/** New cases of the whole flock in each month of the season that has passed; nothing where no case began. */
function newCases({ findings, season, today, language }: SeasonPageInput): readonly string[] {
  if (findings.cases.length === 0) return [];
  const words = penMonthsWords[language];
  const [first, last] = [monthPlace(season.from), monthPlace(Math.min(season.to - 1, today))];
  const months = Array.from({ length: last - first + 1 }, (_, i) => first + i);
  return [
    words.newCases(
      months.map((place) =>
        words.month(
          monthInWords(dayOfPlace(place), language),
          findings.cases.filter((one) => monthPlace(one.first_sign) === place).length,
        ),
      ),
    ),
  ];
}

function isAbove(row: MonthWatchRow): boolean {
  return row.outside && row.centre !== null && row.lame / row.scored > row.centre;
}

function shareInWords(share: number, { language }: SeasonPageInput): string {
  return percentWithLimits({ value: share, lo: null, hi: null }, language);
}

function byPenAndMonth(a: MonthWatchRow, b: MonthWatchRow): number {
  return a.pen < b.pen ? -1 : a.pen > b.pen ? 1 : firstDay(a) - firstDay(b);
}

function firstDay({ month }: MonthWatchRow): DayNumber {
  const [year, ofYear] = month.split("-").map(Number);
  return dayNumber(year!, ofYear!, 1)!;
}

/** Months counted through from year 0. */
function monthPlace(day: DayNumber): number {
  const { year, month } = calendarDay(day);
  return year * 12 + month - 1;
}

function dayOfPlace(place: number): DayNumber {
  return dayNumber(Math.floor(place / 12), (place % 12) + 1, 1)!;
}

/** `Mar 24` */
function tickLabel(place: number, { language }: SeasonPageInput): string {
  const [month] = monthInWords(dayOfPlace(place), language).split(" ");
  return `${month!.slice(0, 3)} ${String(Math.floor(place / 12)).slice(2)}`;
}
