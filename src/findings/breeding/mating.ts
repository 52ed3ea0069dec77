import { type Book, quoteText } from "../../book/book.ts";
import { code, joinCodes } from "../../records/codes.ts";
import { isoDay } from "../../records/days.ts";
import { nearest } from "../../records/nearest.ts";
import type { MidParentErrors } from "../../statistics/pedigree/mid-parent.ts";
import { expectedInbreeding } from "../../statistics/pedigree/relationship.ts";
import { readTable } from "../read-table.ts";
import { type BreedingValueRow, breedingValueTable, lineTable } from "./breeding-tables.ts";
import { type HerdPedigree, readHerdPedigree } from "./herd-pedigree.ts";
import { knownNearAncestors, type SharedAncestor, sharedAncestors } from "./kinship.ts";
import { pairErrors } from "./pair-errors.ts";

export type BreedingTrait = "growth" | "lameness";

/** A value as a difference from the mean of the flock's animals with records, in the terms of `breeding_value`. */
export interface ToldValue {
  readonly value: number;
  readonly lo: number;
  readonly hi: number;
  readonly reliability: number | null;
}

/** What is told of one parent, or of both together; `told` is missing where nothing may be shown. */
export interface MatingValue {
  readonly told: ToldValue | null;
  readonly records: number | null;
  readonly caution: string | null;
}

export interface MatingParent {
  readonly tag: string;
  readonly line: string | null;
  readonly inbreeding: number;
}

/** What the records say of one pairing. It weighs nothing: whether the two are paired is the breeder's to say. */
export interface Mating {
  readonly sire: MatingParent;
  readonly dam: MatingParent;
  /** Inbreeding that a kid is expected to have: half the additive relationship of its parents. */
  readonly expectedInbreeding: number;
  readonly shared: readonly SharedAncestor[];
  readonly values: readonly {
    readonly trait: BreedingTrait;
    readonly sire: MatingValue;
    readonly dam: MatingValue;
    readonly midParent: MatingValue;
  }[];
  readonly caution: string | null;
}

/** Why nothing is told of a pairing; each is a mistake in the call. */
export type MatingTrouble =
  | { readonly code: "not_analysed" }
  | { readonly code: "unknown_tag"; readonly tag: string; readonly nearest: readonly string[] }
  | { readonly code: "same_animal"; readonly tag: string }
  | { readonly code: "sire_is_doe"; readonly tag: string }
  | { readonly code: "sire_is_wether"; readonly tag: string }
  | { readonly code: "dam_is_no_doe"; readonly tag: string };

/** Tags that are named as advice beside one that is not known. */
const NEAREST_TAGS = 3;
/** Expected inbreeding from which it is named: the kid of first cousins. */
const NAMED_INBREEDING = 1 / 16;
const NEAR_ANCESTORS = 6;

/**
 * Reads what a flock's stored results and pedigree say of pairing two of its animals. Inbreeding of a kid is half the
 * relationship of its parents (Wright 1922, Am. Nat. 56:330-338), candidate sires averaged by their chances.
 */
export async function mating(
  book: Book,
  flock: string,
  words: { readonly sire: string; readonly dam: string },
): Promise<Mating | readonly MatingTrouble[]> {
  if (!(await isAnalysed(book))) return [{ code: "not_analysed" }];
  const herd = await readHerdPedigree(book, flock);
  const animals = await readAnimals(book, flock);
  const troubles = troublesOf(herd, animals, words);
  if (troubles.length > 0) return troubles;
  const sire = herd.place.get(words.sire)!;
  const dam = herd.place.get(words.dam)!;
  const inbreeding = expectedInbreeding(herd.pedigree, herd.kin, sire, dam);
  const shared = sharedAncestors(herd, sire, dam);
  return {
    sire: parentOf(herd, sire),
    dam: parentOf(herd, dam),
    expectedInbreeding: inbreeding,
    shared,
    values: await valuesOf(book, flock, herd, words),
    caution: joinCodes([
      inbreeding >= NAMED_INBREEDING - 1e-9 ? code("kid_inbred") : null,
      shared.some(({ possible }) => possible) ? code("kin_by_candidates") : null,
      ...[sire, dam].map((at) => {
        const known = knownNearAncestors(herd, at);
        return known < NEAR_ANCESTORS
          ? code("ancestors_unknown", herd.tags[at]!, known, NEAR_ANCESTORS)
          : null;
      }),
      ...[words.sire, words.dam].flatMap((tag) => {
        const animal = animals.get(tag);
        return [
          animal === undefined ? code("no_own_row", tag) : null,
          animal?.sex === null && !animal.isSire && !animal.isDam ? code("sex_unknown", tag) : null,
          animal?.left == null ? null : code("left_flock", tag, isoDay(animal.left)),
        ];
      }),
    ]),
  };
}

/**
 * Mean of two parents' values: what kids of the two average, chance at each kid's own draw aside. Where it is not known
 * how the errors of the two go together, its limits are the widest that they allow and it has no reliability. Silent
 * where either parent is.
 */
export function midParent(sire: MatingValue, dam: MatingValue, errors: MidParentErrors | null): MatingValue {
  if (sire.told === null || dam.told === null) {
    return { told: null, records: null, caution: sire.caution === null ? dam.caution : sire.caution };
  }
  const value = (sire.told.value + dam.told.value) / 2;
  const a = (sire.told.hi - sire.told.lo) / 2;
  const b = (dam.told.hi - dam.told.lo) / 2;
  const half = Math.sqrt(Math.max(0, a * a + b * b + 2 * (errors?.errorCorrelation ?? 1) * a * b)) / 2;
  const reliable = sire.told.reliability !== null && dam.told.reliability !== null;
  return {
    told: {
      value,
      lo: value - half,
      hi: value + half,
      reliability: reliable ? (errors?.reliability ?? null) : null,
    },
    records: null,
    caution: joinCodes([
      reliable ? null : (sire.caution ?? dam.caution),
      errors === null ? code("pair_not_worked_out") : null,
    ]),
  };
}

async function valuesOf(
  book: Book,
  flock: string,
  herd: HerdPedigree,
  tags: { readonly sire: string; readonly dam: string },
): Promise<Mating["values"]> {
  const where = `flock = ${quoteText(flock)}`;
  const pair = `animal IN (${quoteText(tags.sire)}, ${quoteText(tags.dam)})`;
  const rows = await readTable(book, breedingValueTable, `${where} AND ${pair}`);
  const lines = await readTable(book, lineTable, where);
  const values: Mating["values"][number][] = [];
  for (const trait of ["growth", "lameness"] as const) {
    const silence = lines.find((row) => row.trait === trait && row.mean === null)?.caution;
    const of = (tag: string): MatingValue => {
      const row = rows.find((one) => one.trait === trait && one.animal === tag);
      return row === undefined
        ? { told: null, records: null, caution: silence ?? code("no_value_stored") }
        : toldOf(row);
    };
    const [sire, dam] = [of(tags.sire), of(tags.dam)];
    const errors =
      sire.told === null || dam.told === null
        ? null
        : await pairErrors(book, flock, herd, trait, [herd.place.get(tags.sire)!, herd.place.get(tags.dam)!]);
    values.push({ trait, sire, dam, midParent: midParent(sire, dam, errors) });
  }
  return values;
}

function toldOf({ value, lo, hi, reliability, records, caution }: BreedingValueRow): MatingValue {
  return {
    told: value === null || lo === null || hi === null ? null : { value, lo, hi, reliability },
    records,
    caution,
  };
}

interface AnimalFacts {
  sex: string | null;
  left: number | null;
  isSire: boolean;
  isDam: boolean;
}

async function readAnimals(book: Book, flock: string): Promise<ReadonlyMap<string, AnimalFacts>> {
  const id = quoteText(flock);
  const rows = await book.rows<AnimalFacts & { animal: string }>(
    `WITH role AS (SELECT parent AS animal, bool_or(role = 'sire') AS sire, bool_or(role = 'dam') AS dam FROM herd.parent WHERE flock = ${id} GROUP BY ALL)
     SELECT a.animal, any_value(a.sex) AS sex,
       CASE WHEN bool_and(a."left" IS NOT NULL) THEN day_no(max(a."left")) END AS "left",
       coalesce(bool_or(r.sire), FALSE) AS "isSire", coalesce(bool_or(r.dam), FALSE) AS "isDam"
     FROM herd.animal a LEFT JOIN role r USING (animal) WHERE a.flock = ${id} GROUP BY a.animal`,
  );
  return new Map(rows.map(({ animal, ...facts }) => [animal, facts]));
}

function troublesOf(
  herd: HerdPedigree,
  animals: ReadonlyMap<string, AnimalFacts>,
  words: { readonly sire: string; readonly dam: string },
): readonly MatingTrouble[] {
  const unknown = [words.sire, words.dam].filter((tag) => !herd.place.has(tag));
  if (unknown.length > 0) {
    return [...new Set(unknown)].map((tag) => ({
      code: "unknown_tag",
      tag,
      nearest: nearestTags(tag, herd.tags),
    }));
  }
  if (words.sire === words.dam) return [{ code: "same_animal", tag: words.sire }];
  const sexOf = (tag: string): string | null => {
    const own = animals.get(tag);
    if (own?.sex != null) return own.sex;
    const at = herd.place.get(tag)!;
    if (herd.pedigree.dam.includes(at)) return "female";
    return herd.pedigree.sire.includes(at) ? "male" : null;
  };
  const [sire, dam] = [sexOf(words.sire), sexOf(words.dam)];
  return [
    ...(sire === "female" ? [{ code: "sire_is_doe", tag: words.sire } as const] : []),
    ...(sire === "wether" ? [{ code: "sire_is_wether", tag: words.sire } as const] : []),
    ...(dam === "male" || dam === "wether" ? [{ code: "dam_is_no_doe", tag: words.dam } as const] : []),
  ];
}

function nearestTags(tag: string, tags: readonly string[]): readonly string[] {
  const found: string[] = [];
  while (found.length < NEAREST_TAGS) {
    const next = nearest(
      tag,
      tags.filter((one) => !found.includes(one)),
    );
    if (next === null) break;
    found.push(next);
  }
  return found;
}

function parentOf(herd: HerdPedigree, at: number): MatingParent {
  return {
    tag: herd.tags[at]!,
    line: herd.lineOf[at]! < 0 ? null : herd.lines[herd.lineOf[at]!]!,
    inbreeding: herd.kin.coefficient[at]!,
  };
}

async function isAnalysed(book: Book): Promise<boolean> {
  const [found] = await book.rows<{ n: number }>(
    "SELECT CAST(count(*) AS INTEGER) AS n FROM duckdb_tables() WHERE schema_name = 'results' AND table_name = 'breeding_value'",
  );
  return found!.n > 0;
}
