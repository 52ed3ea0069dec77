/** Rows as an aligned plain table; numbers to the right, and cut at the width of the terminal if there is one. */
export function alignedTable(
  rows: readonly Readonly<Record<string, unknown>>[],
  width: number | null,
): string {
  const first = rows[0];
  if (first === undefined) return "(no rows)";
  const names = Object.keys(first);
  const cells = rows.map((row) =>
    names.map((name) => (row[name] === null || row[name] === undefined ? "" : String(row[name]))),
  );
  const wide = names.map((name, c) => Math.max(name.length, ...cells.map((row) => row[c]!.length)));
  const right = names.map((_, c) => cells.every((row) => row[c] === "" || !Number.isNaN(Number(row[c]))));
  const line = (texts: readonly string[]): string => {
    const text = texts
      .map((cell, c) => (right[c] ? cell.padStart(wide[c]!) : cell.padEnd(wide[c]!)))
      .join("  ")
      .trimEnd();
    return width !== null && text.length > width ? `${text.slice(0, width - 1)}…` : text;
  };
  return [line(names), line(wide.map((n) => "-".repeat(n))), ...cells.map(line)].join("\n");
}
