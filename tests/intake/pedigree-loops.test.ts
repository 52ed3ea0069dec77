import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { chainOf, loopsOf } from "../../src/intake/pedigree-loops.ts";

const link = (animal: string, parent: string, flock = "f") => ({ flock, animal, parent });

describe("loops of a pedigree", () => {
  it("names the links on a loop, and only these", () => {
    const links = [
      link("A", "B"),
      link("B", "C"),
      link("C", "A"),
      link("D", "A"),
      link("C", "E"),
      link("F", "F"),
    ];
    expect(loopsOf(links).map(({ animal, parent, loop }) => [animal, parent, chainOf(loop)])).toEqual([
      ["A", "B", "A > B > C > A"],
      ["B", "C", "A > B > C > A"],
      ["C", "A", "A > B > C > A"],
      ["F", "F", "F > F"],
    ]);
  });

  it("shows the shortest loop through a link", () => {
    const links = [link("A", "B"), link("B", "A"), link("B", "C"), link("C", "A")];
    expect(loopsOf(links).map(({ loop }) => chainOf(loop))).toEqual([
      "A > B > A",
      "A > B > A",
      "A > B > C > A",
      "A > B > C > A",
    ]);
  });

  it("keeps flocks apart", () => {
    expect(loopsOf([link("A", "B", "north"), link("B", "A", "south")])).toEqual([]);
  });

  it("leaves a pedigree without loops once its links are taken out, and takes none from one without", () => {
    const names = fc.constantFrom("A", "B", "C", "D", "E", "F");
    fc.assert(
      fc.property(fc.array(fc.tuple(names, names), { maxLength: 12 }), (pairs) => {
        const links = pairs.map(([animal, parent]) => link(animal, parent));
        const wrong = loopsOf(links);
        const left = links.filter(
          (one) => !wrong.some(({ animal, parent }) => animal === one.animal && parent === one.parent),
        );
        expect(loopsOf(left)).toEqual([]);
        for (const { animal, loop } of wrong) {
          loop.forEach((at, i) => {
            const next = loop[i + 1] ?? animal;
            expect(links.some((one) => one.animal === at && one.parent === next)).toBe(true);
          });
        }
      }),
    );
  });
});
