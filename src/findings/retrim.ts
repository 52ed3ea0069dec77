import { code, joinCodes } from "../records/codes.ts";
import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { Random } from "../statistics/random.ts";
import { survivalAt, timeOfFraction, unknownRegions } from "../statistics/survival/step-curve.ts";
import { turnbull } from "../statistics/survival/turnbull.ts";
import { bootstrapTurnbull } from "../statistics/survival/turnbull-bootstrap.ts";
import { type Finding, insertRows } from "./finding.ts";

export const retrimCurveTable = defineTable({
  schema: "results",
  name: "retrim_curve",
  grain: ["flock", "group_kind", "group_value", "method", "day"],
  columns: {
    flock: text.always("flock"),
    group_kind: text.always("flock, pen, ground, line, age_band, class, foot, claw"),
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
    group_kind: text.always("flock, pen, ground, line, age_band, class, foot, claw"),
    group_value: text.always("which of them"),
    spells: integer.always(
      "trim spells: from a trim to the check that found a claw over the limit, or to the last check",
    ),
    animals: integer.always("animals"),
    claws: integer.always("claws read"),
    events: integer.always("spells in which a claw was found over the limit"),
    left_out: integer.always("spells left out: started over the limit, or staged"),
    median_days: number(
      "days after a trim by which half are over the limit: the later edge where it is not known",
    ),
    lo: number("lower 95 % limit over animals; missing: outside the range of checks"),
    hi: number("upper 95 % limit over animals; missing: outside the range of checks"),
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
/** Bootstrap samples of animals for the whole flock, and for a group of it. */
const SAMPLES = 500;
const GROUP_SAMPLES = 200;

interface Spell {
  flock: string;
  group_kind: string;
  group_value: string;
  animal: string;
  claws: number;
  not_over_until: number;
  over_by: number | null;
  left_out: string | null;
}

/**
 * How long a trim lasts: Turnbull's estimate over trim spells, since the day on which a claw passes the limit
 * is only known to lie between two checks; limits from seeded samples of whole animals.
 */
export const retrim: Finding = {
  tables: [retrimSummaryTable, retrimCurveTable],
  async fill({ book, seed }) {
    const spells = await book.rows<Spell>(`
      SELECT s.flock, g.group_kind, g.group_value, s.animal, s.claws, s.not_over_until, s.over_by, s.left_out
      FROM results.trim_spell s JOIN exposure.animal_day_group g ON g.flock = s.flock AND g.animal = s.animal AND g.day = s.trimmed_on
      WHERE s.foot = '' AND g.group_kind <> 'arm'
      UNION ALL SELECT flock, 'foot', foot, animal, claws, not_over_until, over_by, left_out FROM results.trim_spell WHERE foot <> ''
      UNION ALL SELECT flock, 'claw', claw, animal, claws, not_over_until, over_by, left_out FROM results.trim_spell WHERE claw <> ''
      ORDER BY ALL`);
    const groups = new Map<string, Spell[]>();
    for (const spell of spells) {
      const key = [spell.flock, spell.group_kind, spell.group_value].join("\n");
      const members = groups.get(key);
      if (members) members.push(spell);
      else groups.set(key, [spell]);
    }
    const random = new Random(seed);
    const figures = [...groups.values()].map((members, i) => figureOf(members, random.substream(i)));
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

interface Figure {
  readonly summary: RetrimSummaryRow;
  readonly curve: readonly RetrimCurveRow[];
}

function figureOf(members: readonly Spell[], random: Random): Figure {
  const { flock, group_kind, group_value } = members[0]!;
  const spells = members.filter((spell) => spell.left_out === null);
  const animals = [...new Set(spells.map((spell) => spell.animal))];
  const events = spells.filter((spell) => spell.over_by !== null).length;
  const leftOut = members.length - spells.length;
  const counts = {
    flock,
    group_kind,
    group_value,
    spells: spells.length,
    animals: animals.length,
    claws: spells.reduce((sum, spell) => sum + spell.claws, 0),
    events,
    left_out: leftOut,
  };
  const silent = (caution: string): Figure => ({
    summary: {
      ...counts,
      median_days: null,
      lo: null,
      hi: null,
      days_to_10pct: null,
      days_to_90pct: null,
      caution,
    },
    curve: [],
  });
  if (animals.length < LEAST_ANIMALS) return silent(code("too_few_animals", animals.length, LEAST_ANIMALS));
  if (events < LEAST_EVENTS) return silent(code("too_few_events", events, LEAST_EVENTS));

  const left = spells.map((spell) => spell.not_over_until);
  const right = spells.map((spell) => spell.over_by ?? Number.POSITIVE_INFINITY);
  const fit = turnbull({ left, right });
  if ("trouble" in fit) return silent(code("not_converged"));
  const place = new Map(animals.map((animal, i) => [animal, i]));
  const lastCheck = Math.max(...left, ...right.filter(Number.isFinite));
  const at = Array.from({ length: Math.floor(lastCheck / 7) + 1 }, (_, week) => week * 7);
  const limits = bootstrapTurnbull({
    left,
    right,
    cluster: spells.map((spell) => place.get(spell.animal)!),
    at,
    fractions: [0.5],
    random,
    samples: group_kind === "flock" ? SAMPLES : GROUP_SAMPLES,
  });
  if ("trouble" in limits) return silent(code("not_converged"));
  const seen = (fraction: number): number | null => {
    const { to } = timeOfFraction(fit, fraction);
    return Number.isFinite(to) && to <= lastCheck ? to : null;
  };
  const regions = unknownRegions(fit);
  const median = seen(0.5);
  return {
    summary: {
      ...counts,
      median_days: median,
      lo: limits.times[0]!.lo,
      hi: limits.times[0]!.hi,
      days_to_10pct: seen(0.1),
      days_to_90pct: seen(0.9),
      caution: joinCodes([
        median === null || limits.times[0]!.hi === null ? code("not_seen_beyond", lastCheck) : null,
        leftOut > 0 ? code("starts_left_out", leftOut) : null,
      ]),
    },
    curve: at.map((day, i) => {
      const region = regions.find(({ from, to }) => from < day && day < to);
      return {
        flock,
        group_kind,
        group_value,
        method: "turnbull",
        day,
        not_yet_due: survivalAt(fit, day).highest,
        lo: limits.survival[i]!.lo,
        hi: limits.survival[i]!.hi,
        known: region
          ? code("not_known_between", region.from, Number.isFinite(region.to) ? region.to : lastCheck)
          : null,
      };
    }),
  };
}
