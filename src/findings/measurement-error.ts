import { defineTable, integer, number, type RowOf, text } from "../records/table.ts";
import { technicalError } from "../statistics/agreement/technical-error.ts";
import { type Finding, insertRows } from "./finding.ts";

export const measurementErrorTable = defineTable({
  schema: "results",
  name: "measurement_error",
  grain: ["flock", "measurer", "measure"],
  columns: {
    flock: text.always("flock"),
    measurer: text.always("who measured; all: any two readings of one claw on one day, whoever took them"),
    measure: text.always("toe, overhang, mark"),
    pairs: integer.always("claws read more than once on a day"),
    technical_error_mm: number.always("standard deviation of one reading, mm"),
    lo: number.always("lower 95 % limit"),
    hi: number.always("upper 95 % limit"),
    smallest_detectable_change_mm: number.always(
      "a difference of two single readings below this may be the ruler's alone",
    ),
  },
  reads: ["herd.claw_record"],
  identities: [
    { says: "limits lie around the error", holds: "lo <= technical_error_mm AND technical_error_mm <= hi" },
  ],
});

export type MeasurementErrorRow = RowOf<typeof measurementErrorTable>;

interface Reading {
  flock: string;
  measure: string;
  subject: string;
  measurer: string;
  mm: number;
}

/** How far two readings of one claw on one day lie apart, from claws that were measured more than once. */
export const measurementError: Finding = {
  tables: [measurementErrorTable],
  async fill({ book }) {
    const readings = await book.rows<Reading>(`
      WITH long AS (
        SELECT flock, animal, coalesce(foot, '') AS foot, coalesce(claw, '') AS claw, "date" AS day, coalesce(measurer, 'not named') AS measurer, m.measure, m.moment, m.mm
        FROM herd.claw_record, LATERAL (VALUES ('toe', 'before', toe_before_mm), ('toe', 'after', toe_after_mm), ('overhang', 'before', overhang_before_mm),
          ('overhang', 'after', overhang_after_mm), ('mark', 'before', mark_mm)) m(measure, moment, mm)
        WHERE m.mm IS NOT NULL
      )
      SELECT flock, measure, concat_ws('|', animal, day, foot, claw, moment) AS subject, measurer, mm FROM long
      QUALIFY count(*) OVER (PARTITION BY flock, measure, animal, day, foot, claw, moment) > 1
      ORDER BY ALL`);
    await insertRows(book, measurementErrorTable, errorsOf(readings));
  },
};

function errorsOf(readings: readonly Reading[]): MeasurementErrorRow[] {
  const bySubject = new Map<string, Map<string, number[]>>();
  for (const { flock, measure, subject, measurer, mm } of readings) {
    for (const who of [measurer, "all"]) {
      const key = JSON.stringify([flock, who, measure]);
      const own = bySubject.get(key) ?? new Map<string, number[]>();
      bySubject.set(key, own);
      const known = own.get(subject);
      if (known) known.push(mm);
      else own.set(subject, [mm]);
    }
  }
  return [...bySubject].flatMap(([key, subjects]) => {
    const [flock, measurer, measure] = JSON.parse(key) as [string, string, string];
    const error = technicalError([...subjects.values()]);
    if (error === undefined) return [];
    return {
      flock,
      measurer,
      measure,
      pairs: error.subjects,
      technical_error_mm: error.estimate,
      lo: error.lo,
      hi: error.hi,
      smallest_detectable_change_mm: error.smallestDetectableChange,
    };
  });
}
