import { codeInSql } from "../code-in-sql.ts";
import { find, workTable } from "../derive/find.ts";
import type { HerdKindId } from "../staging.ts";

/**
 * Flocks named in rows: `all` and `pooled` mean every flock and can name none; where folders name the flocks,
 * a row can name only one of those.
 */
export function flockChecks(kind: HerdKindId): readonly string[] {
  const wrong = (which: string, reason: string): string =>
    find(
      kind,
      "flock",
      `SELECT rid, 'flock' AS column_name, flock AS value, ${reason} AS reason FROM ${workTable(kind)}
       WHERE flock IN (SELECT flock FROM flock_now WHERE ${which})`,
    );
  return [
    wrong("reserved", codeInSql("reserved_name", "flock")),
    wrong("unknown AND NOT reserved", codeInSql("unknown_flock")),
  ];
}
