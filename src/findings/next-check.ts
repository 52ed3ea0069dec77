import { code, joinCodes } from "../records/codes.ts";
import type { DayNumber } from "../records/days.ts";
import { lesionIds, lesionKinds } from "../records/lesion-kinds.ts";
import { day, defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { type CheckOutlook, checkOutlooks } from "./check-outlook.ts";
import { type Finding, type FindingContext, insertRows } from "./finding.ts";
import { growthOf } from "./growth-figures.ts";
import type { GrowthFrame } from "./growth-model.ts";

export const nextCheckTable = defineTable({
  schema: "results",
  name: "next_check",
  grain: ["flock", "animal"],
  columns: {
    flock: text.always("flock"),
    animal: text.always("animal's tag"),
    pen: text("the pen it stands in"),
    last_look: day("last day on which its feet were looked at; where they never were, its gait"),
    last_trim: day("last day on which it was trimmed"),
    days_since_look: integer("days from the last look to the day the list speaks of"),
    check_from: day.always("first day of the check's window"),
    check_by: day.always("day by which it should be looked at"),
    p_over_limit_on_check_by: number(
      "probability that a claw is past the retrim limit on that day, or today where it is past",
    ),
    worst_foot: text("foot of the claw expected to be longest"),
    worst_claw: text("that claw"),
    expected_overhang_mm: number("its expected overhang on the check day, mm"),
    reason: text.always("codes"),
    urgency: text.always("now, staged, due, routine"),
    basis: text.always("own measures, flock's growth, trim dates only, no record"),
    look_order: integer.always(
      "1 is looked at first: sore and smelling feet, then by urgency, never looked at, and day",
    ),
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
    "results.growth_interval",
    "results.growth_point",
    "results.measurement_error",
    "results.variance",
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
}

/** Chance that a claw is past the limit at which an animal is to be looked at. Project default. */
const CHANCE_TO_LOOK = 0.2;

/**
 * Whom to look at next, one row per animal present: lame, sore or smelling ones now, until a look closes the
 * case; the next stage of a staged trim 3 to 14 days on; else within the flock's check weeks after the last
 * look, on the first day on which the chance that any claw is past the retrim limit reaches 20 %.
 */
export const nextCheck: Finding = {
  tables: [nextCheckTable],
  async fill(context) {
    const frames = new Map<string, GrowthFrame>();
    for (const flock of context.flocks) {
      const { model } = await growthOf(context, flock);
      if (!("trouble" in model)) frames.set(flock.id, model);
    }
    await insertRows(context.book, nextCheckTable, await nextCheckRows(context, null, frames));
  },
};

/**
 * The list's rows in looking order, as of the day given, or of each flock's own day. `frames`: growth models that are
 * laid out already, by flock; the others are laid out from the book.
 */
export async function nextCheckRows(
  { book }: Pick<FindingContext, "book">,
  on: DayNumber | null = null,
  frames: ReadonlyMap<string, GrowthFrame> = new Map(),
): Promise<readonly NextCheckRow[]> {
  const rows: NextCheckRow[] = [];
  let outlook: ReadonlyMap<string, CheckOutlook> = new Map();
  let flock: string | null = null;
  for (const state of await book.rows<AnimalState>(STATES, [on])) {
    if (state.flock !== flock) {
      flock = state.flock;
      outlook = await checkOutlooks(book, flock, state.today, state.retrim_at_mm, frames.get(flock));
    }
    rows.push(toRow(state, outlook.get(state.animal)));
  }
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
), foot_look AS (
  SELECT flock, animal, "date" AS day FROM herd.claw_record UNION ALL SELECT flock, animal, "date" FROM herd.lesion
), look AS (
  SELECT flock, animal, day FROM foot_look
  UNION ALL SELECT g.flock, g.animal, g.day FROM exposure.gait_day g WHERE NOT assumed
    AND NOT EXISTS (SELECT 1 FROM foot_look l WHERE l.flock = g.flock AND l.animal = g.animal)
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
  CAST(k.day - f.today AS INTEGER) AS to_kidding
FROM (SELECT DISTINCT p.flock, p.animal FROM exposure.presence p JOIN asked f USING (flock) WHERE p.from_day <= f.today AND f.today < p.to_day) p
JOIN asked f USING (flock)
LEFT JOIN housed h USING (flock, animal) LEFT JOIN last_look l USING (flock, animal) LEFT JOIN last_trim t USING (flock, animal)
LEFT JOIN stage s USING (flock, animal) LEFT JOIN class c USING (flock, animal) LEFT JOIN open_case o USING (flock, animal)
LEFT JOIN kidding k USING (flock, animal)
ORDER BY p.flock, p.animal`;

function toRow(state: AnimalState, outlook: CheckOutlook | undefined): NextCheckRow {
  const { today } = state;
  const urgent = urgentReasons(state);
  const stage = stageDue(state);
  const since = state.last_look === null ? null : today - state.last_look;
  const base = {
    flock: state.flock,
    animal: state.animal,
    pen: state.pen,
    last_look: state.last_look,
    last_trim: state.last_trim,
    days_since_look: since,
    basis: basisOf(state, outlook),
    look_order: 0,
    trim_order: 0,
    caution: joinCodes([
      ...cautionsOf(state, outlook, urgent.length > 0),
      outlook !== undefined && !outlook.own ? code("flock_rate") : null,
      outlook === undefined && state.last_trim !== null ? code("trim_dates_only") : null,
    ]),
  };
  const at = (
    check_from: number,
    check_by: number,
    urgency: string,
    reasons: readonly string[],
  ): NextCheckRow => {
    const on = Math.max(check_by, today);
    const worst = outlook?.worstOn(on);
    return {
      ...base,
      check_from,
      check_by,
      urgency,
      reason: joinCodes(reasons) ?? code("within_weeks", Math.round(state.check_by_days / 7)),
      p_over_limit_on_check_by: outlook?.chanceOn(on) ?? null,
      worst_foot: worst?.foot ?? null,
      worst_claw: worst?.claw ?? null,
      expected_overhang_mm: worst?.mm ?? null,
    };
  };
  if (urgent.length > 0) return at(today, today, "now", urgent);
  if (stage) {
    const from = state.stage_day! + STAGE_FROM_DAYS;
    const by = state.stage_day! + STAGE_BY_DAYS;
    return at(from, by, "staged", [stage]);
  }
  if (state.last_look === null) return at(today, today, "due", [code("never_looked_at")]);
  const from = state.last_look + state.check_from_days;
  const latest = state.last_look + state.check_by_days;
  const by = outlook === undefined ? latest : firstLikelyDay(outlook, from, latest);
  const reasons = [
    today > latest
      ? code("past_longest_gap", Math.round(state.check_by_days / 7))
      : by < latest
        ? code("long_expected", `${Math.round(100 * outlook!.chanceOn(by))} %`)
        : code("within_weeks", Math.round(state.check_by_days / 7)),
    state.overgrowth === 3 ? code("severe_overgrowth") : null,
  ].filter((reason) => reason !== null);
  return at(from, by, by <= today ? "due" : "routine", reasons);
}

/** First day of a window on which the chance reaches 20 %, by halving: it grows from day to day; else the last. */
function firstLikelyDay({ chanceOn }: CheckOutlook, from: number, latest: number): number {
  if (chanceOn(from) >= CHANCE_TO_LOOK) return from;
  if (chanceOn(latest) < CHANCE_TO_LOOK) return latest;
  let before = from;
  let reached = latest;
  while (reached - before > 1) {
    const middle = (before + reached) >> 1;
    if (chanceOn(middle) >= CHANCE_TO_LOOK) reached = middle;
    else before = middle;
  }
  return reached;
}

function basisOf(state: AnimalState, outlook: CheckOutlook | undefined): string {
  if (outlook !== undefined) return outlook.own ? "own measures" : "flock's growth";
  return state.last_look === null ? "no record" : "trim dates only";
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

const contagious: ReadonlySet<string> = new Set(lesionIds.filter((id) => lesionKinds[id].contagious));

/** Overhang, in limits, from which a claw is taken down in stages. Common practice, no source. */
const STAGES_FROM_LIMITS = 3;

function cautionsOf(
  state: AnimalState,
  outlook: CheckOutlook | undefined,
  urgent: boolean,
): (string | null)[] {
  const lesions = (state.open_lesions ?? "").split(", ");
  const isolate = urgent && (state.open_smell === true || lesions.some((lesion) => contagious.has(lesion)));
  const untreatedLame =
    urgent &&
    state.open_kind!.startsWith("lame") &&
    !state.treated &&
    state.first_sign !== null &&
    state.today - state.first_sign > LAME_UNTREATED_DAYS;
  const lateInKid = state.to_kidding !== null && state.to_kidding <= LATE_IN_KID_DAYS;
  const expected = outlook?.worstOn(state.today).mm ?? 0;
  const severe = state.overgrowth === 3 || expected > STAGES_FROM_LIMITS * state.retrim_at_mm;
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
    Number(a.last_look !== null) - Number(b.last_look !== null) ||
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
