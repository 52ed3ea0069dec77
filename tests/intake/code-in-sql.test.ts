import fc from "fast-check";
import { afterAll, beforeAll, expect, it } from "vitest";
import { type Book, quoteText } from "../../src/book/book.ts";
import { codeInSql } from "../../src/intake/code-in-sql.ts";
import { nearestTags } from "../../src/intake/derive/nearest-tags.ts";
import { code, readCodes } from "../../src/records/codes.ts";
import { openTestBook } from "./open-test-book.ts";

let book: Book;
beforeAll(async () => {
  book = await openTestBook();
});
afterAll(() => book.close());

it("codes written by the engine are those that the program writes and reads", async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.tuple(argument, argument), { minLength: 1, maxLength: 30 }),
      async (pairs) => {
        const select = pairs.map(
          ([a, b], i) => `SELECT ${i} AS i, ${codeInSql("tag_of_two", quoteText(a), quoteText(b))} AS code`,
        );
        const rows = await book.rows<{ code: string }>(`${select.join(" UNION ALL ")} ORDER BY i`);
        rows.forEach((row, i) => {
          expect(row.code).toBe(code("tag_of_two", ...pairs[i]!));
          expect(readCodes(row.code)).toEqual([{ id: "tag_of_two", args: pairs[i] }]);
        });
      },
    ),
    { numRuns: 10 },
  );
});

const argument = fc.string({
  unit: fc.constantFrom("a", "%", "2", "5", ",", ";", "(", ")", "'", " ", "é"),
  maxLength: 8,
});

/** Whether one insertion, deletion, change or swap of neighbours leads from one word to the other. */
function oneStepApart(a: string, b: string): boolean {
  if (a === b) return true;
  const letters = "gh01";
  const steps = new Set<string>();
  for (let i = 0; i <= a.length; i++) {
    for (const letter of letters) steps.add(a.slice(0, i) + letter + a.slice(i));
    if (i === a.length) continue;
    steps.add(a.slice(0, i) + a.slice(i + 1));
    for (const letter of letters) steps.add(a.slice(0, i) + letter + a.slice(i + 1));
    if (i + 1 < a.length) steps.add(a.slice(0, i) + a[i + 1] + a[i] + a.slice(i + 2));
  }
  return steps.has(b);
}

it("tags one step apart are all found, as trying every step finds them", async () => {
  // no leading zeros, which are put aside before tags are compared
  const tag = fc
    .array(fc.constantFrom("g", "h", "1"), { minLength: 2, maxLength: 4 })
    .map((letters) => letters.join(""));
  await fc.assert(
    fc.asyncProperty(tag, fc.uniqueArray(tag, { minLength: 1, maxLength: 12 }), async (wanted, known) => {
      await book.run(`CREATE OR REPLACE TEMP TABLE unlisted AS SELECT 'f' AS flock, ${quoteText(wanted)} AS tag;
        CREATE OR REPLACE TEMP TABLE tag_owner AS SELECT 'f' AS flock, unnest([${known.map(quoteText).join(", ")}]) AS tag;
        ${nearestTags}`);
      const [row] = await book.rows<{ nearest: string }>("SELECT nearest FROM near_tag");
      const near = known.filter((one) => one !== wanted && oneStepApart(wanted, one));
      const told = row?.nearest.split(" / ") ?? [];
      expect(told.filter((one) => oneStepApart(wanted, one))).toHaveLength(Math.min(3, near.length));
    }),
    { numRuns: 40 },
  );
});
