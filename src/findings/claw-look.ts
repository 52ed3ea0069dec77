import { type Book, quoteText } from "../book/book.ts";

/** How the length that a look left a claw with is known: read after the trim, read untrimmed, or taken to be the flock's mark. */
export type LeftBy = "after" | "before" | "assumed";

/** One claw at one look: how far its wall stood past the pad when it was looked at, and when it was let go. */
export interface ClawLook {
  readonly animal: string;
  readonly foot: string;
  readonly claw: string;
  readonly day: number;
  /** mm seen at the look; null where nothing tells. */
  readonly seen: number | null;
  /** mm left; null where nothing tells. */
  readonly left: number | null;
  readonly leftBy: LeftBy;
}

/**
 * Every claw of a flock at every look up to a day, in the order animal, day, foot, claw. An overhang is taken as
 * recorded, else from the change of toe length since the claw's last trim; a claw that was cut without a length after
 * is taken to have been left at the flock's mark.
 */
export function readClawLooks(book: Book, flock: string, until: number): Promise<ClawLook[]> {
  return book.rows<ClawLook>(`
    WITH reading AS (
      SELECT r.animal, coalesce(r.foot, '') AS foot, coalesce(r.claw, '') AS claw, r."date" AS day, f.trim_to_mm,
        avg(r.toe_before_mm) AS toe_before, avg(r.toe_after_mm) AS toe_after, avg(r.overhang_before_mm) AS over_before, avg(r.overhang_after_mm) AS over_after,
        bool_or(coalesce(r.trimmed, r.toe_after_mm IS NOT NULL OR r.overhang_after_mm IS NOT NULL, FALSE)) AS cut
      FROM herd.claw_record r JOIN exposure.flock f USING (flock)
      WHERE r.flock = ${quoteText(flock)} AND day_no(r."date") <= ${until} GROUP BY ALL
    ), cut AS (
      SELECT *, coalesce(over_after, over_before - toe_before + toe_after, trim_to_mm) AS left_mm FROM reading WHERE cut
    ), known AS (
      SELECT r.*, coalesce(r.over_before, c.left_mm + r.toe_before - c.toe_after) AS seen
      FROM reading r ASOF LEFT JOIN cut c ON c.animal = r.animal AND c.foot = r.foot AND c.claw = r.claw AND c.day < r.day
    )
    SELECT animal, foot, claw, day_no(day) AS day, seen,
      CASE WHEN cut THEN coalesce(over_after, seen - toe_before + toe_after, trim_to_mm) ELSE seen END AS "left",
      CASE WHEN NOT cut THEN 'before' WHEN over_after IS NOT NULL OR seen - toe_before + toe_after IS NOT NULL THEN 'after' ELSE 'assumed' END AS "leftBy"
    FROM known ORDER BY animal, day, foot, claw`);
}
