import { quoteText } from "../book/book.ts";
import type { SetAsideCode } from "../records/codes.ts";

/** SQL that writes a set-aside code; each argument is an SQL expression, escaped as the code's form needs. */
export function codeInSql(id: SetAsideCode, ...args: readonly string[]): string {
  if (args.length === 0) return quoteText(id);
  return `(${quoteText(`${id}(`)} || ${args.map(escaped).join(` || ',' || `)} || ')')`;
}

const escapes = [
  ["%", "%25"],
  [",", "%2C"],
  [";", "%3B"],
  ["(", "%28"],
  [")", "%29"],
] as const;

function escaped(expression: string): string {
  const text = `coalesce(CAST(${expression} AS VARCHAR), '')`;
  return escapes.reduce(
    (sql, [character, code]) => `replace(${sql}, ${quoteText(character)}, ${quoteText(code)})`,
    text,
  );
}
