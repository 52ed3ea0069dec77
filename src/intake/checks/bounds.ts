import { quoteName } from "../../book/book.ts";
import type { Column } from "../../records/kind.ts";
import { kinds } from "../../records/kinds.ts";
import { codeInSql } from "../code-in-sql.ts";
import { find, workTable } from "../derive/find.ts";
import type { HerdKindId } from "../staging.ts";

/** Numbers that cannot be, by the bounds of their columns. */
export function boundChecks(kind: HerdKindId): readonly string[] {
  const bounded = (kinds[kind].columns as readonly Column[]).flatMap((column) =>
    column.bounds && (column.type === "number" || column.type === "integer")
      ? [{ name: column.name, bounds: column.bounds }]
      : [],
  );
  return bounded.map(({ name, bounds }) =>
    find(
      kind,
      "value",
      `SELECT rid, '${name}' AS column_name, ${quoteName(name)} AS value,
         ${codeInSql("out_of_bounds", String(bounds.least), String(bounds.most))} AS reason
       FROM ${workTable(kind)} WHERE ${quoteName(name)} NOT BETWEEN ${bounds.least} AND ${bounds.most}`,
    ),
  );
}
