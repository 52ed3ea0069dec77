import { code, joinCodes } from "../records/codes.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { Random } from "../statistics/random.ts";
import type { Job } from "./crew.ts";
import { type Finding, insertRows } from "./finding.ts";
import {
  type CurveReading,
  lastCheck,
  modelReading,
  type SpellTimes,
  turnbullReading,
} from "./retrim-curve.ts";
import { type GroupedSpell, readGroupedSpells } from "./retrim-groups.ts";

export const retrimCurveTable = defineTable({
  schema: "results",
  name: "retrim_curve",
  grain: ["flock", "group_kind", "group_value", "method", "day"],
  columns: {
    flock: text.always("flock"),
    group_kind: text.always("flock, pen, ground, ration, line, age_band, class, foot, claw"),
    group_value: text.always("which of them"),
    method: text.always("turnbull, or the name of an accelerated failure time family"),
    day: integer.always("days after the trim"),
    not_yet_due: number(
      "share of trims whose claws are still within the limit; where it is not known, the higher edge",
    ),
    lo: number("lower 95 % limit over animals; where the curve is not known, its lower edge"),
    hi: number("upper 95 % limit over animals; where the curve is not known, its higher edge"),
    known: text("codes: not_known_between(from,to) where the checks do not tell when within those days"),
  },
  reads: ["results.trim_spell", "exposure.animal_day_group"],
  identities: [
    { says: "a share is one", holds: "not_yet_due IS NULL OR not_yet_due BETWEEN 0 AND 1" },
    { says: "limits in order", holds: "lo IS NULL OR hi IS NULL OR lo <= hi" },
  ],
});

export const retrimSummaryTable = defineTable({
  schema: "results",
  name: "retrim_summary",
  grain: ["flock", "group_kind", "group_value"],
  columns: {
    flock: text.always("flock"),
    group_kind: text.always("flock, pen, ground, ration, line, age_band, class, foot, claw"),
    group_value: text.always("which of them"),
    spells: integer.always(
      "trim spells: from a trim to the check that found a claw over the limit, or to the last check",
    ),
    animals: integer.always("animals"),
    claws: integer.always("claws read"),
    events: integer.always("spells in which a claw was found over the limit"),
    left_out: integer.always("spells left out: started over the limit, or staged"),
    method: text(
      "family of the accelerated failure time model behind the times; turnbull: none has an estimate",
    ),
    median_days: number("days after a trim by which half are over the limit"),
    lo: number("lower 95 % limit over animals; missing: outside the range of checks"),
    hi: number("upper 95 % limit over animals; missing: outside the range of checks"),
    turnbull_median_days: number("the same by Turnbull's curve alone: the later edge where it is not known"),
    turnbull_lo: number("lower 95 % limit over animals"),
    turnbull_hi: number("upper 95 % limit over animals"),
    days_to_10pct: number("days after a trim by which one in ten is over the limit"),
    days_to_90pct: number("days after a trim by which nine in ten are over the limit"),
    caution: text("codes"),
  },
  reads: ["results.trim_spell", "exposure.animal_day_group"],
  identities: [
    { says: "no more events than spells", holds: "events <= spells" },
    {
      says: "quantiles in order",
      holds: "days_to_10pct IS NULL OR median_days IS NULL OR days_to_10pct <= median_days",
    },
  ],
});

export type RetrimCurveRow = RowOf<typeof retrimCurveTable>;
export type RetrimSummaryRow = RowOf<typeof retrimSummaryTable>;

const LEAST_ANIMALS = 8;
const LEAST_EVENTS = 5;
/** Bootstrap samples of animals for the whole flock, and for a group of it, which is read by its model's limits. */
const SAMPLES = 500;
const GROUP_SAMPLES = 100;

/**
 * How long a trim lasts, by group. The day on which a claw passes the limit is only known to lie between two checks:
 * Turnbull's curve shows what the checks alone tell; the median and its limits come from the accelerated failure time
 * model that fits best, with the animal as the unit.
 */
export const retrim: Finding = {
  tables: [retrimSummaryTable, retrimCurveTable],
  async fill({ book, seed, crew }) {
    const groups = await readGroupedSpells(book);
    const figures = await Promise.all(
      groups.map((members, task) => crew.run(retrimJob, { members, seed, task })),
    );
    await insertRows(
      book,
      retrimSummaryTable,
      figures.map(({ summary }) => summary),
    );
    await insertRows(
      book,
      retrimCurveTable,
      figures.flatMap(({ curve }) => curve),
    );
  },
};

/** How long a trim lasts in one group. */
export const retrimJob: Job<
  { readonly members: readonly GroupedSpell[]; readonly seed: number; readonly task: number },
  Figure
> = {
  name: "retrim",
  work: ({ members, seed, task }) => figureOf(members, new Random(seed).substream(task)),
};

interface Figure {
  readonly summary: RetrimSummaryRow;
  readonly curve: readonly RetrimCurveRow[];
}

function figureOf(members: readonly GroupedSpell[], random: Random): Figure {
  const { flock, group_kind, group_value } = members[0]!;
  const spells = members.filter((spell) => spell.left_out === null);
  const animals = [...new Set(spells.map((spell) => spell.animal))];
  const events = spells.filter((spell) => spell.over_by !== null).length;
  const counts = {
    flock,
    group_kind,
    group_value,
    spells: spells.length,
    animals: animals.length,
    claws: spells.reduce((sum, spell) => sum + spell.claws, 0),
    events,
    left_out: members.length - spells.length,
  };
  if (animals.length < LEAST_ANIMALS) {
    return silent(counts, code("too_few_animals", animals.length, LEAST_ANIMALS));
  }
  if (events < LEAST_EVENTS) return silent(counts, code("too_few_events", events, LEAST_EVENTS));
  const place = new Map(animals.map((animal, i) => [animal, i]));
  const times: SpellTimes = {
    left: spells.map((spell) => spell.not_over_until),
    right: spells.map((spell) => spell.over_by ?? Number.POSITIVE_INFINITY),
    animal: spells.map((spell) => place.get(spell.animal)!),
  };
  const last = lastCheck(times);
  const weeks = Array.from({ length: Math.floor(last / 7) + 1 }, (_, week) => week * 7);
  const samples = group_kind === "flock" ? SAMPLES : GROUP_SAMPLES;
  const steps = turnbullReading(times, weeks, random, samples);
  if (steps === null) return silent(counts, code("not_converged"));
  const model = modelReading(times, weeks);
  const { method, median, tenth, ninetieth } = model ?? steps;
  return {
    summary: {
      ...counts,
      method,
      median_days: median.days,
      lo: median.lo,
      hi: median.hi,
      turnbull_median_days: steps.median.days,
      turnbull_lo: steps.median.lo,
      turnbull_hi: steps.median.hi,
      days_to_10pct: tenth,
      days_to_90pct: ninetieth,
      caution: joinCodes([
        median.days === null || median.hi === null ? code("not_seen_beyond", last) : null,
        counts.left_out > 0 ? code("starts_left_out", counts.left_out) : null,
      ]),
    },
    curve: [steps, ...(model === null ? [] : [model])].flatMap((reading) => curveRows(counts, reading)),
  };
}

type Counts = Pick<
  RetrimSummaryRow,
  "flock" | "group_kind" | "group_value" | "spells" | "animals" | "claws" | "events" | "left_out"
>;

function silent(counts: Counts, caution: string): Figure {
  return {
    summary: {
      ...counts,
      method: null,
      median_days: null,
      lo: null,
      hi: null,
      turnbull_median_days: null,
      turnbull_lo: null,
      turnbull_hi: null,
      days_to_10pct: null,
      days_to_90pct: null,
      caution,
    },
    curve: [],
  };
}

function curveRows(
  { flock, group_kind, group_value }: Counts,
  { method, at }: CurveReading,
): RetrimCurveRow[] {
  return at.map(({ day, share, lo, hi, unknown }) => ({
    flock,
    group_kind,
    group_value,
    method,
    day,
    not_yet_due: share,
    lo,
    hi,
    known: unknown === null ? null : code("not_known_between", unknown.from, unknown.to),
  }));
}
