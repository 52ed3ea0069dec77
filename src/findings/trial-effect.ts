import { code, joinCodes } from "../records/codes.ts";
import { defineTable, flag, integer, number, type RowOf, text } from "../records/table.ts";
import type { BlockedSample } from "../statistics/blocked-difference.ts";
import { armDifference, LEAST_DF, sharesBlock } from "./arm-difference.ts";
import { type Finding, insertRows } from "./finding.ts";
import { MODELLED } from "./growth-interval.ts";

export const trialEffectTable = defineTable({
  schema: "results",
  name: "trial_effect",
  grain: ["flock", "outcome", "unit", "arm", "against"],
  columns: {
    flock: text.always("flock"),
    outcome: text.always("growth (mm per 30 days), lame (share of scores)"),
    arm: text.always("study arm"),
    against: text.always("the arm it is compared with"),
    difference: number("arm less the other; of the change since before where before_after"),
    lo: number("lower 95 % limit"),
    hi: number("upper 95 % limit"),
    df: number("degrees of freedom: units less blocks less 1"),
    p: number("two-sided"),
    unit: text.always("what was assigned: pen, animal"),
    units_per_arm: integer.always("units with records in the arm that has fewer"),
    blocks: integer.always(
      "goats are compared within these pens; 1 where pens were assigned or are not known",
    ),
    before_after: flag.always("difference in differences: every unit less its own records before the study"),
    caution: text("codes"),
  },
  reads: ["herd.trial", "results.growth_interval", "exposure.gait_day", "exposure.animal_pen"],
  identities: [
    {
      says: "limits lie around the difference",
      holds: "difference IS NULL OR (lo <= difference AND difference <= hi)",
    },
  ],
});

export type TrialEffectRow = RowOf<typeof trialEffectTable>;

export const trialBaselineTable = defineTable({
  schema: "results",
  name: "trial_baseline",
  grain: ["flock", "unit", "arm"],
  columns: {
    flock: text.always("flock"),
    arm: text.always("study arm"),
    unit: text.always("what was assigned: pen, animal"),
    units: integer.always("units assigned"),
    animals: integer.always("animals in them at the start"),
    growth_before_mm_30d: number("mean of the units before the study, mm per 30 days"),
    lame_share_before: number("mean of the units' share of lame scores before the study"),
  },
  reads: ["herd.trial", "results.growth_interval", "exposure.gait_day", "exposure.animal_pen"],
  identities: [],
});

export type TrialBaselineRow = RowOf<typeof trialBaselineTable>;

interface Unit {
  flock: string;
  unit: string;
  arm: string;
  name: string;
  /** The pen of an animal when its study began; null for pens, and where no pen is known. */
  block: string | null;
  animals: number;
  growth_before: number | null;
  growth_during: number | null;
  lame_before: number | null;
  lame_during: number | null;
}

/**
 * What study arms differ by. The unit is what was assigned, a pen where pens were: its records come to one mean, so
 * that many goats in a pen are not many experiments. Goats that were assigned one by one are compared within their pens,
 * whose ground, feed and company both arms share. Where every unit has records before the study, each is set
 * against its own (difference in differences), which takes out what units differed by from the start.
 */
export const trialEffect: Finding = {
  tables: [trialEffectTable, trialBaselineTable],
  async fill({ book }) {
    const units = await book.rows<Unit>(unitMeans);
    const byFlock = new Map<string, Unit[]>();
    for (const unit of units) {
      const key = `${unit.flock}\n${unit.unit}`;
      const own = byFlock.get(key);
      if (own) own.push(unit);
      else byFlock.set(key, [unit]);
    }
    const studies = [...byFlock.values()];
    await insertRows(book, trialEffectTable, studies.flatMap(effectsOf));
    await insertRows(book, trialBaselineTable, studies.flatMap(baselineOf));
  },
};

/**
 * Means of every unit before and during the study. A unit that was assigned twice is not comparable and left out. An
 * animal belongs to the pen of the day; intervals that reach over the start of the study count on neither side.
 */
const unitMeans = `
  WITH assigned AS (
    SELECT flock, CASE WHEN animal IS NULL THEN 'pen' ELSE 'animal' END AS unit, coalesce(animal, pen) AS name, any_value(arm) AS arm,
      min("from") AS from_day, max(coalesce("to", DATE '9999-12-31')) AS to_day
    FROM herd.trial WHERE coalesce(animal, pen) IS NOT NULL GROUP BY ALL HAVING count(DISTINCT arm) = 1
  ), started AS (
    SELECT *, min(from_day) OVER (PARTITION BY flock, unit) AS study_from FROM assigned
  ), grown AS (
    SELECT flock, animal, date_from, date_to, any_value(pen) AS pen, avg(rate_mm_30d) AS rate, any_value(days) AS days
    FROM results.growth_interval WHERE ${MODELLED} GROUP BY flock, animal, date_from, date_to
  ), growth AS (
    SELECT s.flock, s.unit, s.name,
      sum(g.rate * g.days) FILTER (g.date_to <= s.study_from) / sum(g.days) FILTER (g.date_to <= s.study_from) AS before,
      sum(g.rate * g.days) FILTER (g.date_from >= s.from_day AND g.date_from < s.to_day)
        / sum(g.days) FILTER (g.date_from >= s.from_day AND g.date_from < s.to_day) AS during
    FROM started s JOIN grown g ON g.flock = s.flock AND (CASE s.unit WHEN 'pen' THEN g.pen ELSE g.animal END) = s.name GROUP BY s.flock, s.unit, s.name
  ), lame AS (
    SELECT s.flock, s.unit, s.name,
      avg(CAST(g.lame AS INTEGER)) FILTER (g.day < s.study_from) AS before,
      avg(CAST(g.lame AS INTEGER)) FILTER (g.day >= s.from_day AND g.day < s.to_day) AS during
    FROM started s JOIN exposure.gait_day g ON g.flock = s.flock AND NOT g.for_cause
      AND (CASE s.unit WHEN 'pen' THEN g.pen ELSE g.animal END) = s.name GROUP BY s.flock, s.unit, s.name
  ), housed AS (
    SELECT s.flock, s.unit, s.name, any_value(p.pen) AS block
    FROM started s JOIN exposure.animal_pen p ON p.flock = s.flock AND p.animal = s.name AND p.from_day <= s.from_day AND s.from_day < p.to_day
    WHERE s.unit = 'animal' GROUP BY s.flock, s.unit, s.name
  ), held AS (
    SELECT s.flock, s.unit, s.name, CASE WHEN s.unit = 'animal' THEN 1 ELSE count(DISTINCT p.animal) END AS animals
    FROM started s LEFT JOIN exposure.animal_pen p ON p.flock = s.flock AND p.pen = s.name AND p.from_day <= s.from_day AND s.from_day < p.to_day
    GROUP BY s.flock, s.unit, s.name
  )
  SELECT s.flock, s.unit, s.arm, s.name, b.block, CAST(h.animals AS INTEGER) AS animals,
    CAST(g.before AS DOUBLE) AS growth_before, CAST(g.during AS DOUBLE) AS growth_during,
    CAST(l.before AS DOUBLE) AS lame_before, CAST(l.during AS DOUBLE) AS lame_during
  FROM started s JOIN held h USING (flock, unit, name) LEFT JOIN housed b USING (flock, unit, name)
    LEFT JOIN growth g USING (flock, unit, name) LEFT JOIN lame l USING (flock, unit, name)
  ORDER BY s.flock, s.unit, s.arm, s.name`;

function effectsOf(units: readonly Unit[]): TrialEffectRow[] {
  const arms = [...new Set(units.map(({ arm }) => arm))].sort();
  const outcomes = [
    { outcome: "growth", before: "growth_before", during: "growth_during" },
    { outcome: "lame", before: "lame_before", during: "lame_during" },
  ] as const;
  return outcomes.flatMap(({ outcome, before, during }) => {
    const measured = units.filter((unit) => unit[during] !== null);
    const beforeAfter = measured.length > 0 && measured.every((unit) => unit[before] !== null);
    const pens = [...new Set(measured.map(({ block }) => block))];
    const sampleOf = (arm: string): BlockedSample => {
      const own = measured.filter((unit) => unit.arm === arm);
      return {
        values: own.map((unit) => unit[during]! - (beforeAfter ? unit[before]! : 0)),
        blocks: own.map(({ block }) => pens.indexOf(block)),
      };
    };
    return arms.flatMap((against, k) =>
      arms.slice(k + 1).map((arm): TrialEffectRow => {
        const [first, second] = [sampleOf(arm), sampleOf(against)];
        const fewer = Math.min(first.values.length, second.values.length);
        const found = armDifference(first, second);
        return {
          flock: units[0]!.flock,
          outcome,
          arm,
          against,
          difference: found?.difference ?? null,
          lo: found?.lo ?? null,
          hi: found?.hi ?? null,
          df: found?.df ?? null,
          p: found?.p ?? null,
          unit: units[0]!.unit,
          units_per_arm: fewer,
          blocks: new Set([...first.blocks, ...second.blocks]).size,
          before_after: beforeAfter,
          caution: joinCodes([
            whyNot(first, second, found === undefined),
            beforeAfter ? null : code("no_records_before"),
          ]),
        };
      }),
    );
  });
}

function whyNot(first: BlockedSample, second: BlockedSample, silent: boolean): string | null {
  if (!silent) return null;
  const units = Math.min(first.values.length, second.values.length);
  if (units > 0 && !sharesBlock(first, second)) return code("arms_in_separate_pens");
  if (units < LEAST_DF) return code("too_few_units", units, LEAST_DF);
  const blocks = new Set([...first.blocks, ...second.blocks]).size;
  const df = first.values.length + second.values.length - blocks - 1;
  return df < LEAST_DF ? code("too_few_degrees", df) : code("too_little_contrast");
}

function baselineOf(units: readonly Unit[]): TrialBaselineRow[] {
  const arms = [...new Set(units.map(({ arm }) => arm))].sort();
  return arms.map((arm) => {
    const own = units.filter((unit) => unit.arm === arm);
    const mean = (of: (unit: Unit) => number | null): number | null => {
      const known = own.map(of).filter((value) => value !== null);
      return known.length === 0 ? null : known.reduce((sum, value) => sum + value, 0) / known.length;
    };
    return {
      flock: own[0]!.flock,
      arm,
      unit: own[0]!.unit,
      units: own.length,
      animals: own.reduce((sum, unit) => sum + unit.animals, 0),
      growth_before_mm_30d: mean((unit) => unit.growth_before),
      lame_share_before: mean((unit) => unit.lame_before),
    };
  });
}
