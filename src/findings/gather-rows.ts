/** Rows that have the same key together, in the order of their first. */
export function gatherRows<Row>(rows: readonly Row[], key: (row: Row) => string): Map<string, Row[]> {
  const groups = new Map<string, Row[]>();
  for (const row of rows) {
    const members = groups.get(key(row));
    if (members) members.push(row);
    else groups.set(key(row), [row]);
  }
  return groups;
}
