import { describe, expect, it } from "vitest";
import { readGroup } from "../../src/intake/read-group.ts";

const nothing = { sex: null, pen: null, range: null, tags: null };

describe("the words of a group", () => {
  it.each([
    ["All", nothing],
    ["the rest", nothing],
    ["todo el rebaño", nothing],
    ["does", { ...nothing, sex: "female" }],
    ["Machos", { ...nothing, sex: "male" }],
    ["wethers", { ...nothing, sex: "wether" }],
    ["pen A", { ...nothing, pen: "A" }],
    ["all in pen Back lot", { ...nothing, pen: "Back lot" }],
    ["Corral 3", { ...nothing, pen: "3" }],
    ["12-20", { ...nothing, range: { before: "", first: 12, last: 20 } }],
    ["G12 to G20", { ...nothing, range: { before: "G", first: 12, last: 20 } }],
    ["G12–20", { ...nothing, range: { before: "G", first: 12, last: 20 } }],
    ["12, 14 and 15", { ...nothing, tags: ["12", "14", "15"] }],
  ])("%s", (words, group) => {
    expect(readGroup(words)).toEqual(group);
  });

  it.each(["kids", "milkers", "20-12", "G12-H20", "the lame ones", ""])(
    "that do not say plainly whom: '%s'",
    (words) => {
      expect(readGroup(words)).toBeNull();
    },
  );
});
