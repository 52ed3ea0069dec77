import { gaitScaleIds, gaitScales } from "../../records/gait-scales.ts";
import { codeInSql } from "../code-in-sql.ts";
import { find } from "../derive/find.ts";
import { othersSoundInWords } from "./others-sound.ts";

/** Scores whose scale is not known, and scores that their scale does not have; half points are scores. */
export const gaitChecks: readonly string[] = [
  ...othersSoundInWords("gaits"),
  find(
    "gaits",
    "value",
    `SELECT rid, 'gait' AS column_name, gait AS value, 'scale_not_known' AS reason FROM work_gaits WHERE gait_scale IS NULL`,
  ),
  ...gaitScaleIds.map((id) =>
    find(
      "gaits",
      "value",
      `SELECT rid, 'gait' AS column_name, gait AS value, ${codeInSql("off_the_scale", `'${id}'`)} AS reason
       FROM work_gaits WHERE gait_scale = '${id}'
         AND (gait NOT BETWEEN ${gaitScales[id].least} AND ${gaitScales[id].most} OR gait * 2 <> round(gait * 2))`,
    ),
  ),
];
