import type { AssociationRow } from "../../findings/association/association-tables.ts";
import { type IntervalRow, intervalPlot } from "../charts/interval-plot.ts";
import { differencePerMonth, toLengthUnit, unitName } from "../length-units.ts";
import { decimal, ratioWithLimits } from "../numbers.ts";
import type { PooledPageInput } from "../pooled-page-input.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { associationWords, exposureName, type Outcome } from "../words/associations.ts";
import { capital } from "../words/count.ts";
import { pooledWords } from "../words/pooled.ts";
import { exposuresOf } from "./associations.ts";

/** Each flock's own slope beside the common one, and the common one without each flock; null where none was asked. */
export function flocksBesideSection({ pooled, study }: PooledPageInput, outcome: Outcome): Section | null {
  const { language, flock } = pooled;
  const words = pooledWords[language];
  const named = associationWords[language];
  const rows = pooled.findings.association.filter((row) => row.outcome === outcome && row.effect !== null);
  const order = exposuresOf(rows);
  const mains = rows
    .filter((row) => row.check === "main" && row.level === "within_pen")
    .sort((a, b) => order.indexOf(a.exposure) - order.indexOf(b.exposure));
  if (mains.length === 0) return null;
  const own = (main: AssociationRow): readonly NamedSlope[] =>
    study.flocks.flatMap(({ name, association }) =>
      association
        .filter((row) => row.outcome === outcome && row.exposure === main.exposure && row.effect !== null)
        .map((row) => ({ name, row })),
    );
  const without = (main: AssociationRow): readonly NamedSlope[] =>
    rows
      .filter((row) => row.check === "leave_out_flock" && row.exposure === main.exposure)
      .map((row) => ({
        name: words.withoutFlock(study.flocks.find(({ id }) => id === row.left_out)?.name ?? row.left_out),
        row,
      }));
  const slopesOf = (main: AssociationRow): readonly NamedSlope[] => [
    { name: words.allFlocks, row: main },
    ...own(main),
    ...without(main),
  ];
  const all = mains.flatMap((main) => own(main).map(({ row }) => ({ row, main })));
  const agreeing = all.filter(({ row, main }) => isUp(row) === isUp(main)).length;
  const heading = words.besideHeading(agreeing, all.length);
  return {
    id: `each-flock-${outcome}`,
    question: words.besideQuestion(named.outcome[outcome] ?? outcome),
    heading,
    text: [words.besideText],
    chart: intervalPlot({
      title: heading,
      axis: named.axis(outcome, unitName(flock.unit, language)),
      counted: named.columns.df,
      rows: mains.flatMap((main) => {
        const left = without(main).map(({ name }) => name);
        return slopesOf(main).map(({ name, row }) => {
          const label = row === main ? capital(`${exposureName(row.exposure, language)}: ${name}`) : name;
          return plotRow(pooled, outcome, { name: label, row }, left.includes(name));
        });
      }),
      reference: { value: outcome === "growth" ? 0 : 1, label: named.noDifference },
      endWords: named.ends[outcome],
      ...(outcome === "growth" ? {} : { ratio: true }),
    }),
    rests: "",
    cautions: [named.whatItIsNot],
    table: {
      caption: words.besideQuestion(named.outcome[outcome] ?? outcome),
      columns: [
        wordsColumn(named.columns.exposure),
        wordsColumn(words.eachFlock),
        numberColumn(named.columns.effect),
        numberColumn(named.columns.df),
      ],
      rows: mains.flatMap((main) =>
        slopesOf(main).map(({ name, row }) => [
          capital(exposureName(main.exposure, language)),
          name,
          effectOf(pooled, row),
          row.df === null ? "" : decimal(row.df, 1, language),
        ]),
      ),
    },
  };
}

interface NamedSlope {
  readonly name: string;
  readonly row: AssociationRow;
}

function plotRow(
  input: SeasonPageInput,
  outcome: Outcome,
  { name, row }: NamedSlope,
  hollow: boolean,
): IntervalRow {
  const scaled = (effect: number | null): number | null =>
    effect === null ? null : outcome === "growth" ? toLengthUnit(effect, input.flock.unit) : effect;
  return {
    label: name,
    value: scaled(row.effect),
    lo: scaled(row.lo),
    hi: scaled(row.hi),
    count: row.df === null ? "" : decimal(row.df, 0, input.language),
    says: `${name}: ${effectOf(input, row)}`,
    reason: "",
    ...(hollow ? { hollow } : {}),
  };
}

function effectOf({ language, flock }: SeasonPageInput, row: AssociationRow): string {
  const estimate = { value: row.effect ?? 0, lo: row.lo, hi: row.hi };
  return row.effect_kind === "mm_per_30d"
    ? differencePerMonth(estimate, flock.unit, language)
    : ratioWithLimits(estimate, language);
}

const isUp = (row: AssociationRow): boolean => (row.effect ?? 0) > (row.effect_kind === "mm_per_30d" ? 0 : 1);
