import { expect, test } from "vitest";
import { inUnitOf, readerOf, saysOfLengths } from "../../notebooks/explore/reader.ts";
import { exploreWords } from "../../notebooks/explore/words/in-language.ts";

test("a flock in inches has its figures in inches, in its own language; missing values stay missing", () => {
  const reader = readerOf({ language: "es", units: "in" });
  // an inch is 25.4 mm exactly (international yard and pound agreement of 1959)
  expect(inUnitOf(reader, [{ rate: 25.4, lo: null, animals: 3 }], ["rate", "lo"])).toEqual([
    { rate: 1, lo: null, animals: 3 },
  ]);
  expect(reader.words.growth(reader.unitName)).toBe("crecimiento, pulg. en 30 días");
  expect(saysOfLengths(reader, "Así.")).toContain("milímetros");
});

test("a flock whose settings say nothing is told of in English and millimetres, as they stand", () => {
  const reader = readerOf({});
  const rows = [{ rate: 25.4 }];
  expect(inUnitOf(reader, rows, ["rate"])).toBe(rows);
  expect(reader.words.growth(reader.unitName)).toBe("growth, mm in 30 days");
  expect(saysOfLengths(reader, "So.")).toBe("So.");
});

/** Texts that a tree of words holds, functions of it asked with a mark for each argument. */
function textsOf(words: unknown): readonly string[] {
  if (typeof words === "string") return [words];
  if (typeof words === "function") return textsOf(words("«1»", "«2»", "«3»"));
  return Object.values(words as object).flatMap(textsOf);
}

test("every sentence stands in both languages and keeps what is put into it", () => {
  const english = textsOf(exploreWords.en);
  const marks = (texts: readonly string[]): number => texts.join(" ").match(/«\d»/g)?.length ?? 0;
  expect(marks(textsOf(exploreWords.es))).toBe(marks(english));
  const sentences = english.filter((text) => text.length > 40);
  expect(sentences.length).toBeGreaterThan(20);
  const spanish = new Set(textsOf(exploreWords.es));
  expect(sentences.filter((text) => spanish.has(text))).toEqual([]);
});
