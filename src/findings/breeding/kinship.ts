import type { HerdPedigree } from "./herd-pedigree.ts";

/** An animal from which both of a pair descend, or one of the pair itself. */
export interface SharedAncestor {
  readonly tag: string;
  /** Generations from the sire up to it: 0 it is the sire, 1 a parent of his, 2 a grandparent, … */
  readonly aboveSire: number;
  readonly aboveDam: number;
  /** Only by way of a sire who is one of several that could be. */
  readonly possible: boolean;
}

/**
 * The nearest animals from which both descend, nearest first: those that no other shared ancestor descends from. Of
 * several ways up to one of them the shortest is told.
 */
export function sharedAncestors(herd: HerdPedigree, sire: number, dam: number): readonly SharedAncestor[] {
  const ofSire = ancestorsOf(herd, sire);
  const ofDam = ancestorsOf(herd, dam);
  const shared = [...ofSire.keys()].filter((at) => ofDam.has(at));
  const behind = new Set<number>();
  for (const at of shared)
    for (const further of ancestorsOf(herd, at).keys()) if (further !== at) behind.add(further);
  return shared
    .filter((at) => !behind.has(at))
    .map((at) => {
      const [up, down] = [ofSire.get(at)!, ofDam.get(at)!];
      return {
        tag: herd.tags[at]!,
        aboveSire: up.generations,
        aboveDam: down.generations,
        possible: !(up.certain && down.certain),
      };
    })
    .sort((a, b) => a.aboveSire + a.aboveDam - b.aboveSire - b.aboveDam || (a.tag < b.tag ? -1 : 1));
}

/** Parents and grandparents of an animal that the pedigree holds, of six. */
export function knownNearAncestors(herd: HerdPedigree, animal: number): number {
  const parents = parentsOf(herd, animal);
  const roles = (of: readonly Parent[]): number =>
    (of.some(({ role }) => role === "sire") ? 1 : 0) + (of.some(({ role }) => role === "dam") ? 1 : 0);
  const grandparents = (role: Parent["role"]): number =>
    Math.max(0, ...parents.filter((one) => one.role === role).map(({ at }) => roles(parentsOf(herd, at))));
  return roles(parents) + grandparents("sire") + grandparents("dam");
}

interface Parent {
  readonly at: number;
  readonly role: "sire" | "dam";
  readonly certain: boolean;
}

function parentsOf({ pedigree }: HerdPedigree, animal: number): readonly Parent[] {
  const { sireStart, sire, sireProbability, dam } = pedigree;
  const parents: Parent[] = [];
  for (let k = sireStart[animal]!; k < sireStart[animal + 1]!; k++) {
    parents.push({ at: sire[k]!, role: "sire", certain: sireProbability[k]! >= 1 });
  }
  if (dam[animal]! >= 0) parents.push({ at: dam[animal]!, role: "dam", certain: true });
  return parents;
}

interface WayUp {
  generations: number;
  certain: boolean;
}

/** The animal and its ancestors, with the shortest way up to each and whether one way up is certain. */
function ancestorsOf(herd: HerdPedigree, animal: number): ReadonlyMap<number, WayUp> {
  const found = new Map<number, WayUp>([[animal, { generations: 0, certain: true }]]);
  let reached = [animal];
  while (reached.length > 0) {
    const next = new Set<number>();
    for (const at of reached) {
      const from = found.get(at)!;
      for (const parent of parentsOf(herd, at)) {
        const certain = from.certain && parent.certain;
        const known = found.get(parent.at);
        if (known === undefined) found.set(parent.at, { generations: from.generations + 1, certain });
        else if (certain && !known.certain) known.certain = true;
        else continue;
        next.add(parent.at);
      }
    }
    reached = [...next];
  }
  return found;
}
