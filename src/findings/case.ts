import { type GaitScaleId, gaitScales } from "../records/gait-scales.ts";
import { lesionIds, lesionKinds } from "../records/lesion-kinds.ts";
import { day, defineTable, flag, integer, type RowOf, text } from "../records/table.ts";
import { type Finding, insertRows } from "./finding.ts";

export const caseTable = defineTable({
  schema: "results",
  name: "case",
  grain: ["flock", "animal", "first_sign"],
  columns: {
    flock: text.always("flock"),
    animal: text.always("animal's tag"),
    foot: text("the foot, where all signs that name one name the same"),
    kind: text.always("lame, lesion, or lame and lesion"),
    lesions: text("lesions found, joined by a comma"),
    smell: flag.always("a foul smell was noted"),
    first_sign: day.always("day of the first sign: a lame score or a lesion"),
    first_treatment: day("day of the first treatment from the first sign on, while open"),
    days_to_treatment: integer("days from first sign to first treatment"),
    last_sign: day.always("day of the last sign"),
    closed: day(
      "day of the look that found it sound (its feet, where one was sore or smelt), or on which it left; missing: still open",
    ),
    repeat_of: day("first sign of the case of the same animal that closed at most 180 days before"),
    severity: text("worst gait score on its scale, such as 4 of 1-5, else the examiner's word"),
  },
  reads: ["exposure.gait_day", "herd.lesion", "herd.treatment", "exposure.presence"],
  identities: [
    { says: "a case ends after it starts", holds: "closed IS NULL OR closed >= first_sign" },
    {
      says: "treatment follows the sign",
      holds: "days_to_treatment IS NULL OR days_to_treatment = first_treatment - first_sign",
    },
  ],
});

export type CaseRow = RowOf<typeof caseTable>;

/** A new sign this long after the last case closed is no longer a repeat of it. Project default. */
const REPEAT_DAYS = 180;

/** Lesions that spread or are left to the vet: only a look at the foot tells that they are over. */
const sores: ReadonlySet<string> = new Set(
  lesionIds.filter((id) => lesionKinds[id].contagious || lesionKinds[id].leaveToVet),
);

interface Look {
  flock: string;
  animal: string;
  day: number;
  /** lame, lesion, walks sound, clean (a look at the feet that finds nothing), left, treated */
  what: "lame" | "lesion" | "walks sound" | "clean" | "left" | "treated";
  foot: string | null;
  lesion: string | null;
  smell: boolean;
  score: number | null;
  scale: GaitScaleId | null;
  severity: string | null;
  gap_days: number;
}

interface OpenCase {
  firstSign: number;
  lastSign: number;
  lame: boolean;
  lesions: Set<string>;
  /** A sore or smelling foot that no look has found healed since. */
  sore: boolean;
  feet: Set<string>;
  smell: boolean;
  firstTreatment: number | null;
  worst: { score: number; scale: GaitScaleId } | null;
  severity: string | null;
  repeatOf: number | null;
}

/**
 * Episodes of trouble. A case opens at the first sign (a lame score, a lesion) and closes only by a later
 * look that finds the animal sound, or when it leaves; silence never closes it, and neither does a sound gait while a
 * foot was last seen sore or smelling: that is closed by a look at the feet. A new sign within the flock's case gap
 * after the look belongs to the same case; later it is a new one, and a repeat within 180 days.
 */
export const cases: Finding = {
  tables: [caseTable],
  async fill({ book }) {
    const looks = await book.rows<Look>(`
      SELECT l.*, f.case_gap_days AS gap_days FROM (
        SELECT flock, animal, day_no(day) AS day, CASE WHEN lame THEN 'lame' ELSE 'walks sound' END AS what, CAST(NULL AS VARCHAR) AS foot,
          CAST(NULL AS VARCHAR) AS lesion, FALSE AS smell, CAST(gait AS DOUBLE) AS score, gait_scale AS scale, CAST(NULL AS VARCHAR) AS severity
        FROM exposure.gait_day
        UNION ALL
        SELECT flock, animal, day_no("date"), CASE WHEN lesion = 'none' OR status = 'healed' THEN 'clean' ELSE 'lesion' END, foot,
          CASE WHEN lesion <> 'none' THEN lesion END, coalesce(smell, FALSE), NULL, NULL, severity
        FROM herd.lesion WHERE lesion <> 'overgrowth' AND NOT coalesce(suspected, FALSE)
        UNION ALL
        SELECT flock, animal, day_no("date"), 'treated', foot, NULL, FALSE, NULL, NULL, NULL FROM herd.treatment
        UNION ALL
        SELECT flock, animal, day_no(to_day), 'left', NULL, NULL, FALSE, NULL, NULL, NULL FROM exposure.presence WHERE departed
      ) l JOIN exposure.flock f USING (flock)
      ORDER BY flock, animal, day,
        CASE what WHEN 'lame' THEN 0 WHEN 'lesion' THEN 1 WHEN 'treated' THEN 2 WHEN 'left' THEN 4 ELSE 3 END`);
    const rows: CaseRow[] = [];
    for (let from = 0; from < looks.length; ) {
      let to = from + 1;
      while (
        to < looks.length &&
        looks[to]!.animal === looks[from]!.animal &&
        looks[to]!.flock === looks[from]!.flock
      )
        to++;
      rows.push(...casesOf(looks.slice(from, to)));
      from = to;
    }
    await insertRows(book, caseTable, rows);
  },
};

function casesOf(looks: readonly Look[]): CaseRow[] {
  const done: { open: OpenCase; closed: number | null }[] = [];
  let current: OpenCase | null = null;
  let closedOn: number | null = null;
  const finish = (): void => {
    if (current) done.push({ open: current, closed: closedOn });
    current = null;
    closedOn = null;
  };
  for (let i = 0; i < looks.length; i++) {
    const look = looks[i]!;
    const isSign = look.what === "lame" || look.what === "lesion";
    if (isSign) {
      if (current && closedOn !== null && look.day - closedOn > look.gap_days) finish();
      if (current) {
        closedOn = null;
      } else {
        const last = done.at(-1);
        const repeat = last?.closed !== null && last !== undefined && look.day - last.closed <= REPEAT_DAYS;
        current = openCase(look.day, repeat ? last.open.firstSign : null);
      }
      addSign(current, look);
    } else if (current) {
      if (look.what === "treated" && closedOn === null) current.firstTreatment ??= look.day;
      if (closes(look, current)) closedOn ??= look.day;
    }
  }
  finish();
  return done.map(({ open, closed }) => toRow(looks[0]!, open, closed));
}

/** Told of each look in turn: one at the feet that finds nothing ends what was seen of them. */
function closes({ what, day }: Look, open: OpenCase): boolean {
  if (what === "left") return true;
  // a clean look on the day of a sign (another foot, another scorer) does not close the case
  if (day <= open.lastSign) return false;
  if (what === "clean") open.sore = false;
  return what === "clean" || (what === "walks sound" && !open.sore);
}

function openCase(firstSign: number, repeatOf: number | null): OpenCase {
  return {
    firstSign,
    lastSign: firstSign,
    lame: false,
    lesions: new Set(),
    sore: false,
    feet: new Set(),
    smell: false,
    firstTreatment: null,
    worst: null,
    severity: null,
    repeatOf,
  };
}

function addSign(open: OpenCase, look: Look): void {
  open.lastSign = look.day;
  open.smell ||= look.smell;
  if (look.foot !== null) open.feet.add(look.foot);
  if (look.what === "lesion") {
    if (look.lesion !== null) open.lesions.add(look.lesion);
    open.sore ||= look.smell || (look.lesion !== null && sores.has(look.lesion));
    open.severity ??= look.severity;
  } else {
    open.lame = true;
    if (
      look.score !== null &&
      look.scale !== null &&
      (open.worst === null || badness(look.score, look.scale) > badness(open.worst.score, open.worst.scale))
    ) {
      open.worst = { score: look.score, scale: look.scale };
    }
  }
}

/** How far up its scale a score lies, so that scores of two scales can be held against each other. */
function badness(score: number, scale: GaitScaleId): number {
  const { least, most } = gaitScales[scale];
  return (score - least) / (most - least);
}

function toRow({ flock, animal }: Look, open: OpenCase, closed: number | null): CaseRow {
  return {
    flock,
    animal,
    foot: open.feet.size === 1 ? [...open.feet][0]! : null,
    kind: open.lame && open.lesions.size > 0 ? "lame and lesion" : open.lame ? "lame" : "lesion",
    lesions: open.lesions.size > 0 ? [...open.lesions].sort().join(", ") : null,
    smell: open.smell,
    first_sign: open.firstSign,
    first_treatment: open.firstTreatment,
    days_to_treatment: open.firstTreatment === null ? null : open.firstTreatment - open.firstSign,
    last_sign: open.lastSign,
    closed,
    repeat_of: open.repeatOf,
    severity: open.worst ? `${open.worst.score} of ${open.worst.scale}` : open.severity,
  };
}
