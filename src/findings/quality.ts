import { isoDay } from "../records/days.ts";
import { defineTable, integer, type RowOf, text } from "../records/table.ts";
import { type Finding, insertRows } from "./finding.ts";
import { type FlockGrowth, growthOf } from "./growth-figures.ts";
import { refitWithout, standardisedResiduals } from "./growth-model.ts";

export const qualityTable = defineTable({
  schema: "results",
  name: "quality",
  grain: ["flock", "check_name"],
  columns: {
    flock: text.always("flock"),
    check_name: text.always("what was looked for"),
    rows_looked_at: integer.always("rows looked at"),
    rows_flagged: integer.always("rows in which it was found"),
    example: text("one of them"),
    advice: text.always("what to do about it"),
  },
  reads: [
    "results.growth_interval",
    "herd.claw_record",
    "herd.lesion",
    "exposure.gait_day",
    "exposure.animal_pen",
    "exposure.presence",
  ],
  identities: [{ says: "no more flagged than looked at", holds: "rows_flagged <= rows_looked_at" }],
});

export type QualityRow = RowOf<typeof qualityTable>;

/** Each check: rows looked at, and the condition under which a row is flagged, with an example's words. */
const checks: readonly { name: string; from: string; flagged: string; example: string; advice: string }[] = [
  {
    name: "intervals too short to tell growth",
    from: "results.growth_interval",
    flagged: "caution LIKE '%short_interval%'",
    example: "animal || ', ' || date_from || ' to ' || date_to",
    advice: "Nothing to mend: they are listed and left out of the models.",
  },
  {
    name: "changes of length that no horn can do",
    from: "results.growth_interval",
    flagged: "caution LIKE '%not_horn%'",
    example: "animal || ', ' || date_from || ' to ' || date_to || ': ' || round(growth_mm, 1) || ' mm'",
    advice: "Check both readings and their units.",
  },
  {
    name: "intervals whose pen is not known",
    from: "results.growth_interval",
    flagged: "pen IS NULL",
    example: "animal || ', ' || date_from || ' to ' || date_to",
    advice: "Give stays, or name the pen on the trims sheet: without it no exposure can be told.",
  },
  {
    name: "lengths that end in the same digit too often",
    from: "(SELECT flock, toe_before_mm AS length FROM herd.claw_record WHERE toe_before_mm IS NOT NULL)",
    flagged: "length = round(length / 5) * 5 AND length = round(length)",
    example: "CAST(length AS VARCHAR)",
    advice:
      "Above one in five the ruler is read to the nearest 5 mm: read to the nearest millimetre or 1/16 inch.",
  },
  {
    name: "trims without any length",
    from: "(SELECT * FROM herd.claw_record WHERE trimmed)",
    flagged: "coalesce(toe_before_mm, toe_after_mm, overhang_before_mm, overhang_after_mm, mark_mm) IS NULL",
    example: "animal || ', ' || \"date\"",
    advice: "A length before and after tells how fast the horn grows; a date alone does not.",
  },
  {
    name: "gait scores given by more than one scorer a day",
    from: "(SELECT * FROM exposure.gait_day WHERE NOT assumed)",
    flagged: "scorers > 1",
    example: "animal || ', ' || day",
    advice: "Name the order of scorers in flock.toml; the pairs also tell how well scorers agree.",
  },
  {
    name: "animals present but never looked at",
    from: "(SELECT p.flock, p.animal, EXISTS (SELECT 1 FROM herd.claw_record r WHERE r.flock = p.flock AND r.animal = p.animal) OR EXISTS (SELECT 1 FROM herd.lesion l WHERE l.flock = p.flock AND l.animal = p.animal) OR EXISTS (SELECT 1 FROM exposure.gait_day g WHERE g.flock = p.flock AND g.animal = p.animal AND NOT g.assumed) AS seen FROM (SELECT DISTINCT flock, animal FROM exposure.presence) p)",
    flagged: "NOT seen",
    example: "animal",
    advice: "Look at them next, or give the day they left.",
  },
];

/** What a careful reader would want checked of the records themselves. */
export const quality: Finding = {
  tables: [qualityTable],
  async fill(context) {
    const { book } = context;
    for (const { name, from, flagged, example, advice } of checks) {
      await book.run(`
        INSERT INTO results.quality
        SELECT flock, '${name}', CAST(count(*) AS INTEGER), CAST(count(*) FILTER (${flagged}) AS INTEGER),
          min(${example}) FILTER (${flagged}), '${advice}'
        FROM ${from} GROUP BY flock ORDER BY flock`);
    }
    for (const flock of context.flocks) {
      const row = farFromModel(flock.id, await growthOf(context, flock));
      if (row) await insertRows(book, qualityTable, [row]);
    }
  },
};

/** Standardised residuals beyond this are looked at once more: one row in sixteen thousand by chance. */
const FAR = 4;

/** Intervals far from what the growth model expects, and what the flock's slopes would be without them. */
function farFromModel(flock: string, { rows, model }: FlockGrowth): QualityRow | null {
  if ("trouble" in model) return null;
  const residuals = standardisedResiduals(model);
  const far = [...residuals.keys()].filter((i) => Math.abs(residuals[i]!) > FAR);
  const base = {
    flock,
    check_name: "intervals far from what the growth model expects",
    rows_looked_at: rows.count,
  };
  if (far.length === 0) {
    return { ...base, rows_flagged: 0, example: null, advice: "Nothing to mend." };
  }
  const furthest = far.reduce((most, i) => (Math.abs(residuals[i]!) > Math.abs(residuals[most]!) ? i : most));
  const { foot, claw } = rows.claws[rows.claw[furthest]!]!;
  const span = rows.span[furthest]!;
  const place = [rows.animals[rows.animal[furthest]!], foot, claw].filter((part) => part !== "").join(" ");
  return {
    ...base,
    rows_flagged: far.length,
    example: `${place}, ${isoDay(rows.spans.from[span]!)} to ${isoDay(rows.spans.to[span]!)}: ${rows.growth[furthest]!.toFixed(1)} mm`,
    advice: `Check both readings. ${withoutThem(model, far)}`,
  };
}

function withoutThem(
  model: Exclude<FlockGrowth["model"], { trouble: unknown }>,
  far: readonly number[],
): string {
  const refit = refitWithout(model, far);
  if ("trouble" in refit) return "Without them the model does not settle.";
  const { fit } = model;
  const moved = fit.fixedNames.filter((_, k) => {
    const variance = fit.fixedCovariance.values[k * (fit.fixedCovariance.columns + 1)]!;
    return (refit.fixedEffects[k]! - fit.fixedEffects[k]!) ** 2 > variance;
  });
  return moved.length === 0
    ? "Without them no slope of the model moves by more than its standard error."
    : `Without them these slopes move by more than their standard error: ${moved.join(", ")}.`;
}
