import type { AssociationRow } from "../../findings/association/association-tables.ts";
import { readCodes, wordCode, wordCodes } from "../../records/codes.ts";
import { type IntervalRow, intervalPlot } from "../charts/interval-plot.ts";
import { differencePerMonth, toLengthUnit, unitName } from "../length-units.ts";
import { decimal, pValue, ratioWithLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { type DataTable, numberColumn, type Section, wordsColumn } from "../section.ts";
import { associationWords, exposureName, type Outcome } from "../words/associations.ts";
import { columnName } from "../words/columns.ts";
import { capital, sentence } from "../words/count.ts";

/** What goes with one outcome: each condition within pens, between pens, and its control; all seasons together. */
export function associationSection(input: SeasonPageInput, outcome: Outcome): Section | null {
  const { language, flock } = input;
  const words = associationWords[language];
  const rows = input.findings.association.filter((row) => row.outcome === outcome);
  if (rows.length === 0) return null;
  const main = rows.filter((row) => row.check === "main");
  const asked = main.filter((row) => row.effect !== null);
  const question = words.question[outcome];
  const id = `associations${outcome === "growth" ? "" : `-${outcome}`}`;
  if (asked.length === 0) {
    const why = wordCodes(main[0]?.caution ?? null, language);
    const unsettled = main.some((row) => readCodes(row.caution).some((one) => one.id === "not_converged"));
    return { id, question, heading: words[unsettled ? "unsettled" : "noneAsked"](outcome), rests: why };
  }
  const claims = asked.filter((row) => row.claim && row.level === "within_pen");
  const heading = capital(
    words.heading(
      claims.map((row) => exposureName(row.exposure, language)),
      outcome,
    ),
  );
  const sentences = claims.map((row) => claimSentence(input, outcome, row));
  const most = asked.reduce((a, b) => (b.rows > a.rows ? b : a));
  return {
    id,
    question,
    heading,
    ...(sentences.length > 0 ? { text: [sentences.join(" ")] } : {}),
    chart: intervalPlot({
      title: heading,
      axis: words.axis(outcome, unitName(flock.unit, language)),
      counted: words.columns.df,
      rows: plotRows(input, outcome, rows),
      reference: { value: outcome === "growth" ? 0 : 1, label: words.noDifference },
      endWords: words.ends[outcome],
      ...(outcome === "growth" ? {} : { ratio: true }),
    }),
    rests: [
      words.rests(most.rows, most.animals, most.pens),
      ...(asked.some((row) => row.level === "between_pen") ? [words.runsOff] : []),
    ].join(". "),
    cautions: [words.whatItIsNot],
    table: tableOf(input, question, main),
    ...(sentences.length > 0 ? { answer: { sentence: sentences[0]!, strength: 48 } } : {}),
  };
}

/** One row for the pens over time, one for the pens beside each other, a hollow one for what came after. */
function plotRows(
  input: SeasonPageInput,
  outcome: Outcome,
  rows: readonly AssociationRow[],
): readonly IntervalRow[] {
  const { language, flock } = input;
  const words = associationWords[language];
  const scaled = (effect: number | null): number | null =>
    effect === null ? null : outcome === "growth" ? toLengthUnit(effect, flock.unit) : effect;
  return exposuresOf(rows).flatMap((exposure) => {
    const own = rows.filter((row) => row.exposure === exposure);
    const at = (level: string, check: string): AssociationRow | undefined =>
      own.find((row) => row.level === level && row.check === check);
    const within = at("within_pen", "main");
    const between = at("between_pen", "main");
    const after = at("within_pen", "future_exposure");
    const name = capital(exposureName(exposure, language));
    const shown: (readonly [AssociationRow | undefined, string, boolean])[] = [
      [within, `${name}: ${words.level.within_pen}`, false],
      [between, words.level.between_pen!, false],
      [after?.effect == null ? undefined : after, words.control, true],
    ];
    return shown.flatMap(([row, label, hollow]): IntervalRow[] => {
      if (!row) return [];
      const why = readCodes(row.caution)[0];
      const reason = row.effect === null && why ? wordCode(why, language) : "";
      return [
        {
          label: capital(label),
          value: scaled(row.effect),
          lo: scaled(row.lo),
          hi: scaled(row.hi),
          count: row.df === null ? "" : decimal(row.df, 0, language),
          says: `${name}, ${label}: ${row.effect === null ? reason : `${effectOf(input, row)}, ${wordCodes(row.per, language)}`}`,
          reason: capital(reason),
          hollow,
          mayRunOff: row.level === "between_pen",
        },
      ];
    });
  });
}

function tableOf(input: SeasonPageInput, caption: string, rows: readonly AssociationRow[]): DataTable {
  const { language } = input;
  const words = associationWords[language];
  const { columns } = words;
  return {
    caption,
    columns: [
      wordsColumn(columns.exposure),
      wordsColumn(columns.level),
      numberColumn(columns.effect),
      numberColumn(columns.df),
      numberColumn(columns.p),
      numberColumn(columns.q),
      numberColumn(columns.eValue),
      wordsColumn(columnName("note", language)),
    ],
    rows: exposuresOf(rows)
      .flatMap((exposure) => rows.filter((row) => row.exposure === exposure))
      .map((row) => [
        `${capital(exposureName(row.exposure, language))}, ${wordCodes(row.per, language)}`,
        words.level[row.level] ?? row.level,
        effectOf(input, row),
        row.df === null ? "" : decimal(row.df, 1, language),
        row.p === null ? "" : pValue(row.p, language),
        row.q === null ? "" : pValue(row.q, language),
        row.e_value === null ? "" : decimal(row.e_value, 1, language),
        capital(wordCodes(row.caution, language)),
      ]),
  };
}

function claimSentence(input: SeasonPageInput, outcome: Outcome, row: AssociationRow): string {
  const { language } = input;
  const words = associationWords[language];
  const per = wordCodes(row.per, language);
  return sentence(
    words.claim(capital(exposureName(row.exposure, language)), outcome, per, sizeOf(input, row), isUp(row)),
  );
}

/** Exposures in the order in which the analysis asks them. */
export function exposuresOf(rows: readonly AssociationRow[]): readonly string[] {
  const order = ["crude_protein", "copper_diet", "mineral_copper", "zinc", "wetness"];
  const place = (exposure: string): number => {
    const at = order.indexOf(exposure.split("+")[0] ?? "");
    return at < 0 ? order.length : at;
  };
  return [...new Set(rows.map((row) => row.exposure))].sort(
    (a, b) => place(a) - place(b) || (a < b ? -1 : 1),
  );
}

function effectOf({ language, flock }: SeasonPageInput, row: AssociationRow): string {
  if (row.effect === null) return "";
  const estimate = { value: row.effect, lo: row.lo, hi: row.hi };
  return row.effect_kind === "mm_per_30d"
    ? differencePerMonth(estimate, flock.unit, language)
    : ratioWithLimits(estimate, language);
}

/** The effect in a sentence that already says which way it goes: a difference of growth without its sign. */
function sizeOf(input: SeasonPageInput, row: AssociationRow): string {
  if (row.effect_kind !== "mm_per_30d" || row.effect === null || isUp(row)) return effectOf(input, row);
  const turned = (value: number | null): number | null => (value === null ? null : -value);
  return effectOf(input, { ...row, effect: -row.effect, lo: turned(row.hi), hi: turned(row.lo) });
}

const noEffect = (row: AssociationRow): number => (row.effect_kind === "mm_per_30d" ? 0 : 1);
const isUp = (row: AssociationRow): boolean => (row.effect ?? 0) > noEffect(row);
