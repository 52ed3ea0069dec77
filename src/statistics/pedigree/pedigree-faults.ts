import { ancestryLoops } from "./ancestry-loops.ts";
import { eachParent, type ParentLinks } from "./parent-links.ts";
import type { ParentYounger, PedigreeFault, SexConflict } from "./pedigree-fault.ts";
import type { PedigreeInput } from "./pedigree-input.ts";

/** All loops, sex conflicts and ages that cannot be, in this order. */
export function pedigreeFaults(
  links: ParentLinks,
  known: Pick<PedigreeInput, "sex" | "birth">,
): PedigreeFault[] {
  return [
    ...ancestryLoops(links),
    ...sexConflicts(links, known.sex),
    ...(known.birth === undefined ? [] : youngerParents(links, known.birth)),
  ];
}

function sexConflicts(links: ParentLinks, sex: PedigreeInput["sex"]): SexConflict[] {
  const asSire = new Int32Array(links.size).fill(-1);
  const asDam = new Int32Array(links.size).fill(-1);
  for (let kid = links.size - 1; kid >= 0; kid--) {
    for (let k = links.sireStart[kid]; k < links.sireStart[kid + 1]; k++) asSire[links.sire[k]] = kid;
    if (links.dam[kid] >= 0) asDam[links.dam[kid]] = kid;
  }
  const found: SexConflict[] = [];
  for (let animal = 0; animal < links.size; animal++) {
    const recorded = sex?.[animal] ?? null;
    const male = recorded === "male" || asSire[animal] >= 0;
    const female = recorded === "female" || asDam[animal] >= 0;
    if (!(male && female)) continue;
    const kids = [asSire[animal], asDam[animal]].filter((kid) => kid >= 0);
    found.push({
      code: "sex_conflict",
      animal,
      recorded,
      asSire: asSire[animal] >= 0 ? asSire[animal] : null,
      asDam: asDam[animal] >= 0 ? asDam[animal] : null,
      chain: kids.length === 2 ? [kids[0], animal, kids[1]] : [kids[0], animal],
    });
  }
  return found;
}

/** Compares each animal with its nearest ancestors on record, looking through those without a birth day. */
function youngerParents(links: ParentLinks, birth: ArrayLike<number | null>): ParentYounger[] {
  const found: ParentYounger[] = [];
  const below = new Int32Array(links.size).fill(-1);
  for (let kid = 0; kid < links.size; kid++) {
    const kidBirth = birth[kid] ?? null;
    if (kidBirth === null) continue;
    const queue = [kid];
    const touched: number[] = [];
    for (let head = 0; head < queue.length; head++) {
      const from = queue[head];
      eachParent(links, from, (parent) => {
        if (parent === kid || below[parent] >= 0) return;
        below[parent] = from;
        touched.push(parent);
        const parentBirth = birth[parent] ?? null;
        if (parentBirth === null) queue.push(parent);
        else if (parentBirth >= kidBirth) {
          found.push({ code: "parent_younger", chain: chainUp(kid, parent, below), kidBirth, parentBirth });
        }
      });
    }
    for (const animal of touched) below[animal] = -1;
  }
  return found;
}

function chainUp(kid: number, ancestor: number, below: Int32Array): number[] {
  const chain = [ancestor];
  for (let at = ancestor; at !== kid; ) {
    at = below[at];
    chain.push(at);
  }
  return chain.reverse();
}
