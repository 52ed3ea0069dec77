import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  code,
  codeIds,
  joinCodes,
  readCodes,
  templateOf,
  wordAdvice,
  wordCode,
  wordCodes,
} from "../../src/records/codes.ts";
import { languages } from "../../src/records/language.ts";

describe("codes", () => {
  test("arguments come back whatever they hold", () => {
    fc.assert(
      fc.property(fc.array(fc.string(), { minLength: 1, maxLength: 3 }), (args) => {
        expect(readCodes(code("tag_unknown", ...args))).toEqual([{ id: "tag_unknown", args }]);
      }),
    );
  });

  test("several codes of a cell stay apart, and nothing to say is null", () => {
    const cell = joinCodes([code("short_interval", 5), null, code("overhang_basis")]);
    expect(cell).toBe("short_interval(5);overhang_basis");
    expect(readCodes(cell).map((one) => one.id)).toEqual(["short_interval", "overhang_basis"]);
    expect(joinCodes([null, null])).toBeNull();
    expect(readCodes(null)).toEqual([]);
  });

  test("a code that the list lacks is refused", () => {
    expect(() => readCodes("no_such_code")).toThrow("not a known code: no_such_code");
    expect(() => readCodes("toString")).toThrow("not a known code");
  });

  test("words put the arguments in", () => {
    expect(wordCodes("too_few_animals(3,5)", "en")).toBe("too few animals to tell (3; 5 needed)");
    // a lesion among the arguments is told in the reader's language
    expect(wordCodes("sore_now(loose wall)", "es")).not.toContain("loose wall");
    expect(wordCodes("sore_now(loose wall)", "en")).toBe("loose wall, not yet seen healed");
    expect(wordCode({ id: "before_birth", args: ["2024-03-09"] }, "es")).toContain("2024-03-09");
    expect(wordAdvice({ id: "tag_unknown", args: ["G00004"] }, "en")).toContain("G00004");
  });

  test("every code is worded in every language, with the same arguments", () => {
    for (const id of codeIds) {
      const marks = languages.map((language) =>
        [...templateOf(id, language).matchAll(/\{\d\}/g)]
          .map(([mark]) => mark)
          .sort()
          .join(),
      );
      expect(new Set(marks).size, id).toBe(1);
      for (const language of languages) expect(templateOf(id, language).length, id).toBeGreaterThan(3);
    }
  });
});
