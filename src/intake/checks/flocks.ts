import { codeInSql } from "../code-in-sql.ts";
import { find, workTable } from "../derive/find.ts";
import type { HerdKindId } from "../staging.ts";

/**
 * Flocks named in rows: `all` and `pooled` mean every flock and can name none; where folders name the flocks,
 * a row can name only one of those.
 */
export function flockChecks(kind: HerdKindId): readonly string[] {
  return [
    find(
      kind,
      "flock",
      `SELECT rid, 'flock' AS column_name, flock AS value, ${codeInSql("reserved_name", "flock")} AS reason
       FROM ${workTable(kind)} WHERE lower(flock) IN ('all', 'pooled')`,
    ),
    find(
      kind,
      "flock",
      `SELECT rid, 'flock' AS column_name, flock AS value, ${codeInSql("unknown_flock")} AS reason
       FROM ${workTable(kind)}
       WHERE flock IN (SELECT flock FROM flock_now WHERE named_by = 'row')
         AND lower(flock) NOT IN ('all', 'pooled')
         AND EXISTS (FROM flock_now WHERE named_by = 'folder')`,
    ),
  ];
}
