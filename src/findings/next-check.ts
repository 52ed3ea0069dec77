import { code, joinCodes } from "../records/codes.ts";
import type { DayNumber } from "../records/days.ts";
import { lesionIds, lesionKinds } from "../records/lesion-kinds.ts";
import { day, defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { type Finding, type FindingContext, insertRows } from "./finding.ts";

export const nextCheckTable = defineTable({
  schema: "results",
  name: "next_check",
  grain: ["flock", "animal"],
  columns: {
    flock: text.always("flock"),
    animal: text.always("animal's tag"),
    pen: text("the pen it stands in"),
    last_look: day("last day on which its feet or gait were looked at"),
    last_trim: day("last day on which it was trimmed"),
    days_since_look: integer("days from the last look to the day the list speaks of"),
    check_from: day.always("first day of the check's window"),
    check_by: day.always("day by which it should be looked at"),
    p_over_limit_on_check_by: number("probability that a claw is past the retrim limit on that day"),
    worst_foot: text("foot of the claw expected to be longest"),
    worst_claw: text("that claw"),
    expected_overhang_mm: number("its expected overhang on the check day, mm"),
    reason: text.always("codes"),
    urgency: text.always("now, staged, due, routine"),
    basis: text.always("own measures, flock's growth, trim dates only, no record"),
    look_order: integer.always("1 is looked at first: sore and smelling feet, then by urgency and day"),
    trim_order: integer.always(
      "1 is trimmed first: sound feet before suspect ones, sore or smelling feet last",
    ),
    caution: text("codes"),
  },
  reads: [
    "exposure.presence",
    "herd.claw_record",
    "exposure.gait_day",
    "results.case",
    "results.growth_animal",
    "results.growth_summary",
  ],
  identities: [
    { says: "the window ends after it starts", holds: "check_by >= check_from" },
    {
      says: "a probability is one",
      holds: "p_over_limit_on_check_by IS NULL OR p_over_limit_on_check_by BETWEEN 0 AND 1",
    },
  ],
});

export type NextCheckRow = RowOf<typeof nextCheckTable>;

/** Days after a stage of a staged trim within which the next stage falls. Common practice, no source. */
const STAGE_FROM_DAYS = 3;
const STAGE_BY_DAYS = 14;
/** Days before kidding within which a doe is handled as little as possible. Common practice, no source. */
const LATE_IN_KID_DAYS = 42;
/** Days lame without treatment from which the vet is called: treat within 3 days (Warwick, sheep lameness advice). */
const LAME_UNTREATED_DAYS = 3;

interface AnimalState {
  flock: string;
  animal: string;
  pen: string | null;
  last_look: number | null;
  last_trim: number | null;
  today: number;
  check_from_days: number;
  check_by_days: number;
  retrim_at_mm: number;
  trim_to_mm: number;
  open_kind: string | null;
  open_lesions: string | null;
  open_smell: boolean | null;
  first_sign: number | null;
  last_sign: number | null;
  treated: boolean | null;
  worst_score: string | null;
  stage: string | null;
  stage_day: number | null;
  left_long: boolean | null;
  overgrowth: number | null;
  to_kidding: number | null;
  worst_foot: string | null;
  worst_claw: string | null;
  overhang_now: number | null;
  claw_day: number | null;
  own_rate: number | null;
  own_intervals: number | null;
  flock_rate: number | null;
}

/**
 * Whom to look at next, one row per animal present: lame, sore or smelling ones now, until a look closes the
 * case; the next stage of a staged trim 3 to 14 days on; else within the flock's check weeks after the last
 * look, and on the earlier day on which its worst claw is expected past the retrim limit.
 */
export const nextCheck: Finding = {
  tables: [nextCheckTable],
  async fill(context) {
    await insertRows(context.book, nextCheckTable, await nextCheckRows(context));
  },
};

/** The list's rows in looking order, as of the day given, or of each flock's own day. */
export async function nextCheckRows(
  { book }: Pick<FindingContext, "book">,
  on: DayNumber | null = null,
): Promise<readonly NextCheckRow[]> {
  const rows = (await book.rows<AnimalState>(STATES, [on])).map(toRow);
  const looked = withPlace(rows, byLookOrder, (row, look_order) => ({ ...row, look_order }));
  const trimmed = withPlace(looked, byTrimOrder, (row, trim_order) => ({ ...row, trim_order }));
  return trimmed.sort((a, b) => compare(a.flock, b.flock) || a.look_order - b.look_order);
}

/** The rows in an order, each told its place within its flock, from 1. */
function withPlace(
  rows: readonly NextCheckRow[],
  order: (a: NextCheckRow, b: NextCheckRow) => number,
  tell: (row: NextCheckRow, place: number) => NextCheckRow,
): NextCheckRow[] {
  const placed = new Map<string, number>();
  return [...rows].sort(order).map((row) => {
    const place = (placed.get(row.flock) ?? 0) + 1;
    placed.set(row.flock, place);
    return tell(row, place);
  });
}

const STATES = `
WITH asked AS (
  SELECT * REPLACE (coalesce(day_of(?), today) AS today) FROM exposure.flock
), look AS (
  SELECT flock, animal, "date" AS day FROM herd.claw_record UNION ALL SELECT flock, animal, day FROM exposure.gait_day WHERE NOT assumed
  UNION ALL SELECT flock, animal, "date" FROM herd.lesion
), last_look AS (
  SELECT l.flock, l.animal, max(l.day) AS day FROM look l JOIN asked f USING (flock) WHERE l.day <= f.today GROUP BY ALL
), trim AS (
  SELECT r.*, coalesce(r.trimmed, r.toe_after_mm IS NOT NULL OR r.overhang_after_mm IS NOT NULL, FALSE) AS cut
  FROM herd.claw_record r JOIN asked f USING (flock) WHERE r."date" <= f.today
), last_trim AS (
  SELECT t.flock, t.animal, max(t."date") AS day FROM trim t WHERE cut GROUP BY ALL
), stage AS (
  SELECT t.flock, t.animal, t."date" AS day, max(t.stage) AS stage, bool_or(t.overhang_after_mm > f.trim_to_mm + 3) AS left_long
  FROM trim t JOIN last_trim l ON l.flock = t.flock AND l.animal = t.animal AND l.day = t."date" JOIN asked f ON f.flock = t.flock GROUP BY ALL
), class AS (
  SELECT flock, animal, arg_max(overgrowth, "date") AS overgrowth FROM (SELECT flock, animal, "date", max(overgrowth) AS overgrowth FROM trim WHERE overgrowth IS NOT NULL GROUP BY ALL) GROUP BY ALL
), claw AS (
  -- each claw's last reading: how far the wall stands past the pad after that visit
  SELECT t.flock, t.animal, coalesce(t.foot, '') AS foot, coalesce(t.claw, '') AS claw, max(t."date") AS day,
    arg_max(CASE WHEN t.cut THEN coalesce(t.overhang_after_mm, f.trim_to_mm) ELSE t.overhang_before_mm END, t."date") AS overhang
  FROM trim t JOIN asked f USING (flock)
  WHERE t.cut OR t.overhang_before_mm IS NOT NULL GROUP BY ALL
), worst AS (
  SELECT c.flock, c.animal, arg_max(c.foot, c.overhang + coalesce(r.rate_mm_30d, 0) * (f.today - c.day) / 30) AS foot,
    arg_max(c.claw, c.overhang + coalesce(r.rate_mm_30d, 0) * (f.today - c.day) / 30) AS claw,
    arg_max(c.overhang, c.overhang + coalesce(r.rate_mm_30d, 0) * (f.today - c.day) / 30) AS overhang,
    arg_max(c.day, c.overhang + coalesce(r.rate_mm_30d, 0) * (f.today - c.day) / 30) AS day
  FROM claw c JOIN asked f USING (flock)
  LEFT JOIN results.growth_summary r ON r.flock = c.flock AND r.season = 'all' AND r.group_kind = 'flock' GROUP BY ALL
), open_case AS (
  SELECT flock, animal, any_value(kind) AS kind, any_value(lesions) AS lesions, bool_or(smell) AS smell, min(first_sign) AS first_sign,
    max(last_sign) AS last_sign, bool_or(first_treatment IS NOT NULL) AS treated, any_value(severity) AS severity
  FROM results.case WHERE closed IS NULL GROUP BY ALL
), kidding AS (
  SELECT k.flock, k.animal, min(k."date") AS day FROM herd.kidding k JOIN asked f USING (flock) WHERE k."date" > f.today GROUP BY ALL
), housed AS (
  SELECT h.flock, h.animal, any_value(h.pen) AS pen FROM exposure.animal_pen h JOIN asked f USING (flock)
  WHERE h.from_day <= f.today AND f.today < h.to_day GROUP BY ALL
)
SELECT p.flock, p.animal, h.pen, day_no(l.day) AS last_look, day_no(t.day) AS last_trim, day_no(f.today) AS today,
  f.check_from_days, f.check_by_days, f.retrim_at_mm, f.trim_to_mm,
  o.kind AS open_kind, o.lesions AS open_lesions, o.smell AS open_smell, day_no(o.first_sign) AS first_sign, day_no(o.last_sign) AS last_sign,
  o.treated, o.severity AS worst_score, s.stage, day_no(s.day) AS stage_day, s.left_long, c.overgrowth,
  CAST(k.day - f.today AS INTEGER) AS to_kidding, w.foot AS worst_foot, w.claw AS worst_claw, w.overhang AS overhang_now, day_no(w.day) AS claw_day,
  coalesce(g.model_rate_mm_30d, g.rate_mm_30d) AS own_rate, g.intervals AS own_intervals, r.rate_mm_30d AS flock_rate
FROM (SELECT DISTINCT p.flock, p.animal FROM exposure.presence p JOIN asked f USING (flock) WHERE p.from_day <= f.today AND f.today < p.to_day) p
JOIN asked f USING (flock)
LEFT JOIN housed h USING (flock, animal) LEFT JOIN last_look l USING (flock, animal) LEFT JOIN last_trim t USING (flock, animal)
LEFT JOIN stage s USING (flock, animal) LEFT JOIN class c USING (flock, animal) LEFT JOIN open_case o USING (flock, animal)
LEFT JOIN kidding k USING (flock, animal) LEFT JOIN worst w USING (flock, animal)
LEFT JOIN results.growth_animal g ON g.flock = p.flock AND g.animal = p.animal AND g.season = 'all'
LEFT JOIN results.growth_summary r ON r.flock = p.flock AND r.season = 'all' AND r.group_kind = 'flock'
ORDER BY p.flock, p.animal`;

function toRow(state: AnimalState): NextCheckRow {
  const { today } = state;
  const urgent = urgentReasons(state);
  const stage = stageDue(state);
  const forecast = expectedCrossing(state);
  const cautions = cautionsOf(state, urgent.length > 0);
  const since = state.last_look === null ? null : today - state.last_look;
  const base = {
    flock: state.flock,
    animal: state.animal,
    pen: state.pen,
    last_look: state.last_look,
    last_trim: state.last_trim,
    days_since_look: since,
    p_over_limit_on_check_by: null,
    worst_foot: state.worst_foot,
    worst_claw: state.worst_claw,
    basis: forecast.basis,
    look_order: 0,
    trim_order: 0,
    caution: joinCodes([...cautions, forecast.caution]),
  };
  const at = (
    check_from: number,
    check_by: number,
    urgency: string,
    reasons: readonly string[],
  ): NextCheckRow => ({
    ...base,
    check_from,
    check_by,
    urgency,
    reason: joinCodes(reasons) ?? code("within_weeks", Math.round(state.check_by_days / 7)),
    expected_overhang_mm: forecast.on(Math.max(check_by, today)),
  });
  if (urgent.length > 0) return at(today, today, "now", urgent);
  if (stage) {
    const from = state.stage_day! + STAGE_FROM_DAYS;
    const by = state.stage_day! + STAGE_BY_DAYS;
    return at(from, by, "staged", [stage]);
  }
  if (state.last_look === null) return at(today, today, "due", [code("never_looked_at")]);
  const from = state.last_look + state.check_from_days;
  const latest = state.last_look + state.check_by_days;
  const crossing =
    forecast.crossingDay === null ? latest : Math.min(latest, Math.max(from, forecast.crossingDay));
  const reasons = [
    today > latest
      ? code("past_longest_gap", Math.round(state.check_by_days / 7))
      : code("within_weeks", Math.round(state.check_by_days / 7)),
    state.overgrowth === 3 ? code("severe_overgrowth") : null,
  ].filter((reason) => reason !== null);
  return at(from, crossing, crossing <= today ? "due" : "routine", reasons);
}

function urgentReasons(state: AnimalState): readonly string[] {
  if (state.open_kind === null) return [];
  const lesions = (state.open_lesions ?? "").split(", ").filter((lesion) => lesion !== "");
  return [
    state.open_kind.startsWith("lame")
      ? code("lame_now", (state.worst_score ?? "").split(" ")[0] ?? "")
      : null,
    ...lesions.map((lesion) => code("sore_now", lesion)),
    state.open_smell ? code("smell_now") : null,
  ].filter((reason) => reason !== null);
}

/** The next stage, when the last trim was one that is not the last. */
function stageDue({ stage, stage_day, left_long }: AnimalState): string | null {
  if (stage_day === null) return null;
  if (stage === null) return left_long ? code("left_long") : null;
  const [done, of] = stage.split(" of ");
  if (stage === "done" || done === of) return null;
  return code("staged_next", Number(done) + 1);
}

interface Forecast {
  readonly basis: string;
  readonly caution: string | null;
  /** Expected overhang of the worst claw on a day; null where nothing tells. */
  readonly on: (day: number) => number | null;
  /** First day on which it is expected past the limit. */
  readonly crossingDay: number | null;
}

function expectedCrossing(state: AnimalState): Forecast {
  const rate = state.own_rate ?? state.flock_rate;
  if (state.overhang_now === null || state.claw_day === null) {
    return {
      basis: state.last_look === null ? "no record" : "trim dates only",
      caution: null,
      on: () => null,
      crossingDay: null,
    };
  }
  if (rate === null)
    return { basis: "trim dates only", caution: code("trim_dates_only"), on: () => null, crossingDay: null };
  const own = state.own_rate !== null;
  const start = state.overhang_now;
  const since = state.claw_day;
  return {
    basis: own ? "own measures" : "flock's growth",
    caution: own ? null : code("flock_rate"),
    on: (day) => start + (rate * (day - since)) / 30,
    crossingDay: rate > 0 ? since + Math.max(0, Math.ceil(((state.retrim_at_mm - start) * 30) / rate)) : null,
  };
}

const contagious: ReadonlySet<string> = new Set(lesionIds.filter((id) => lesionKinds[id].contagious));

function cautionsOf(state: AnimalState, urgent: boolean): (string | null)[] {
  const lesions = (state.open_lesions ?? "").split(", ");
  const isolate = urgent && (state.open_smell === true || lesions.some((lesion) => contagious.has(lesion)));
  const untreatedLame =
    urgent &&
    state.open_kind!.startsWith("lame") &&
    !state.treated &&
    state.first_sign !== null &&
    state.today - state.first_sign > LAME_UNTREATED_DAYS;
  const lateInKid = state.to_kidding !== null && state.to_kidding <= LATE_IN_KID_DAYS;
  const severe = state.overgrowth === 3;
  return [
    isolate ? code("look_first_trim_last") : null,
    untreatedLame ? code("vet_today") : null,
    severe ? code("in_stages") : null,
    severe && (urgent || lateInKid) ? code("vet_first") : null,
    lateInKid ? code("late_in_kid") : null,
  ];
}

const URGENCY_ORDER = ["now", "staged", "due", "routine"];

function byLookOrder(a: NextCheckRow, b: NextCheckRow): number {
  return (
    Number(isSuspect(b)) - Number(isSuspect(a)) ||
    URGENCY_ORDER.indexOf(a.urgency) - URGENCY_ORDER.indexOf(b.urgency) ||
    a.check_by - b.check_by ||
    compare(a.pen ?? "", b.pen ?? "") ||
    compare(a.animal, b.animal)
  );
}

function byTrimOrder(a: NextCheckRow, b: NextCheckRow): number {
  return (
    Number(isSuspect(a)) - Number(isSuspect(b)) ||
    Number(a.urgency === "now") - Number(b.urgency === "now") ||
    a.look_order - b.look_order
  );
}

const isSuspect = (row: NextCheckRow): boolean => row.caution?.includes("look_first_trim_last") ?? false;
const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
