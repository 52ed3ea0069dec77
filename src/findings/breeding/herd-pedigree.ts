import { type Book, quoteText } from "../../book/book.ts";
import { type Inbreeding, inbreeding } from "../../statistics/pedigree/inbreeding.ts";
import { type Pedigree, pedigree } from "../../statistics/pedigree/pedigree.ts";
import type { CandidateSire } from "../../statistics/pedigree/pedigree-input.ts";
import { linesAsGroups, type UnknownParentGroups } from "../../statistics/pedigree/unknown-parent-groups.ts";

/** A flock's animals and their ancestors, with the breeding lines as groups of unknown parents. */
export interface HerdPedigree {
  /** Tags; the flock's own animals first, in order, then ancestors without a row of their own. */
  readonly tags: readonly string[];
  readonly place: ReadonlyMap<string, number>;
  /** How many of them are animals of the flock. */
  readonly own: number;
  readonly sire: readonly (string | null)[];
  readonly dam: readonly (string | null)[];
  readonly pedigree: Pedigree;
  readonly kin: Inbreeding;
  /** Lines by name, sorted; `unknown` is none of them. */
  readonly lines: readonly string[];
  /** Position of each animal's line; −1: unknown. */
  readonly lineOf: Int32Array;
  readonly inferred: readonly boolean[];
  /** The lines, then the goats bought in of no known line where they are enough to stand as one group more. */
  readonly groups: UnknownParentGroups;
}

/** Goats bought in of no known line from which their unknown parents stand as a group of their own. Project default. */
const LEAST_BOUGHT = 3;

/** Reads the pedigree that the intake has found free of faults. Throws when it holds one: that is a bug. */
export async function readHerdPedigree(book: Book, flock: string): Promise<HerdPedigree> {
  const id = quoteText(flock);
  const animals = await book.rows<{
    animal: string;
    sex: string | null;
    born: number | null;
    line: string | null;
    inferred: boolean | null;
    bought: boolean;
  }>(
    `SELECT a.animal, any_value(a.sex) AS sex, day_no(min(a.born_earliest)) AS born, any_value(l.line) AS line, bool_or(l.inferred) AS inferred,
       coalesce(bool_or(a.origin = 'bought'), FALSE) AS bought
     FROM herd.animal a LEFT JOIN exposure.animal_line l USING (flock, animal) WHERE a.flock = ${id} GROUP BY a.animal ORDER BY a.animal`,
  );
  const parents = await book.rows<{ animal: string; parent: string; role: string; share: number }>(
    `SELECT animal, parent, role, share FROM herd.parent WHERE flock = ${id} ORDER BY animal, role, parent`,
  );
  const tags = animals.map(({ animal }) => animal);
  const place = new Map(tags.map((tag, i) => [tag, i]));
  for (const { parent } of parents) {
    if (place.has(parent)) continue;
    place.set(parent, tags.length);
    tags.push(parent);
  }
  const sire = new Int32Array(tags.length).fill(-1);
  const dam = new Int32Array(tags.length).fill(-1);
  const candidates = new Map<number, CandidateSire[]>();
  for (const { animal, parent, role, share } of parents) {
    const kid = place.get(animal)!;
    const at = place.get(parent)!;
    if (role === "dam") dam[kid] = at;
    else if (share >= 1) sire[kid] = at;
    else candidates.set(kid, [...(candidates.get(kid) ?? []), { sire: at, probability: share }]);
  }
  const checked = pedigree({ sire, dam, candidateSires: candidates });
  if (!checked.ok)
    throw new Error(`pedigree of ${flock}: ${checked.faults.map((fault) => fault.code).join(", ")}`);
  const lines = [
    ...new Set(animals.flatMap(({ line }) => (line === null || line === "unknown" ? [] : [line]))),
  ].sort();
  const lineOf = linesOf(animals, lines, tags.length, sire);
  return {
    tags,
    place,
    own: animals.length,
    sire: Array.from(sire, (at) => (at < 0 ? null : tags[at]!)),
    dam: Array.from(dam, (at) => (at < 0 ? null : tags[at]!)),
    pedigree: checked.pedigree,
    kin: inbreeding(checked.pedigree),
    lines,
    lineOf,
    inferred: animals.map(({ inferred }) => inferred === true),
    groups: groupsOf(
      lineOf,
      lines.length,
      animals.map(({ bought }) => bought),
    ),
  };
}

function groupsOf(lineOf: Int32Array, lines: number, bought: readonly boolean[]): UnknownParentGroups {
  const isNew = (line: number, i: number): boolean => line < 0 && bought[i] === true;
  if (lineOf.filter(isNew).length < LEAST_BOUGHT) return linesAsGroups(lineOf, lines);
  return linesAsGroups(
    lineOf.map((line, i) => (isNew(line, i) ? lines : line)),
    lines + 1,
  );
}

/** The line of each animal; a sire without a row of his own takes that of his kids where they share one. */
function linesOf(
  animals: readonly { readonly line: string | null }[],
  lines: readonly string[],
  size: number,
  sire: Int32Array,
): Int32Array {
  const place = new Map(lines.map((line, i) => [line, i]));
  const lineOf = new Int32Array(size).fill(-1);
  animals.forEach(({ line }, i) => {
    lineOf[i] = line === null ? -1 : (place.get(line) ?? -1);
  });
  const ofKids = new Map<number, Set<number>>();
  for (let i = 0; i < animals.length; i++) {
    const at = sire[i]!;
    if (at >= animals.length && lineOf[i]! >= 0)
      ofKids.set(at, (ofKids.get(at) ?? new Set()).add(lineOf[i]!));
  }
  for (const [at, own] of ofKids) if (own.size === 1) lineOf[at] = [...own][0]!;
  return lineOf;
}
