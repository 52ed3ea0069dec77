import { find } from "../derive/find.ts";

/** Rulers are read to a sixteenth of an inch; a length after that is longer by no more says nothing. */
const READING_STEP_MM = 1.6;

/** What no trim can do, and rows that say nothing. */
export const trimChecks: readonly string[] = [
  ...["toe", "overhang"].map((length) =>
    find(
      "trims",
      "value",
      `SELECT rid, '${length}_after_mm' AS column_name, ${length}_after_mm AS value, 'after_longer_than_before' AS reason
       FROM work_trims WHERE ${length}_after_mm > ${length}_before_mm + ${READING_STEP_MM}`,
    ),
  ),
  find(
    "trims",
    "value",
    `SELECT rid, 'trimmed' AS column_name, 'no' AS value, 'not_trimmed_yet_shorter' AS reason
     FROM work_trims WHERE trimmed IS FALSE
       AND ((toe_after_mm IS NOT NULL AND toe_after_mm IS DISTINCT FROM toe_before_mm)
         OR (overhang_after_mm IS NOT NULL AND overhang_after_mm IS DISTINCT FROM overhang_before_mm))
       AND coalesce(toe_after_mm <= toe_before_mm + ${READING_STEP_MM}, true)
       AND coalesce(overhang_after_mm <= overhang_before_mm + ${READING_STEP_MM}, true)`,
  ),
  find(
    "trims",
    "value",
    `SELECT rid, NULL AS column_name, NULL AS value, 'nothing_recorded' AS reason FROM work_trims
     WHERE trimmed IS NULL AND bled IS NULL AND stage IS NULL AND overgrowth IS NULL AND mark_mm IS NULL
       AND toe_before_mm IS NULL AND overhang_before_mm IS NULL AND note IS NULL`,
  ),
];
