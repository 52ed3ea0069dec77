/**
 * What can be wrong with a list of parents. Every fault carries the chain of animals (indices into the
 * list, kid first, each next one a recorded parent of the one before) that shows it.
 */
export type PedigreeFault =
  | OwnParent
  | Loop
  | SexConflict
  | ParentYounger
  | UnknownParentIndex
  | CandidateProbability;

/** An animal recorded as its own sire or dam: `chain` is the animal twice. */
export interface OwnParent {
  readonly code: "own_parent";
  readonly chain: readonly [number, number];
}

/** An animal that is its own ancestor: the first and last element of `chain` are the same animal. */
export interface Loop {
  readonly code: "loop";
  readonly chain: readonly number[];
}

/**
 * An animal in a role that its sex, or its other role, rules out. `asSire` and `asDam` are a kid each
 * (or null), `recorded` the sex on record (or null); at least two of the three disagree.
 */
export interface SexConflict {
  readonly code: "sex_conflict";
  readonly animal: number;
  readonly recorded: Sex | null;
  readonly asSire: number | null;
  readonly asDam: number | null;
  readonly chain: readonly number[];
}

/**
 * An ancestor not older than its descendant. Between the two ends of `chain` stand only animals
 * without a birth day.
 */
export interface ParentYounger {
  readonly code: "parent_younger";
  readonly chain: readonly number[];
  readonly kidBirth: number;
  readonly parentBirth: number;
}

/** A parent that is no index of the list. */
export interface UnknownParentIndex {
  readonly code: "unknown_parent_index";
  readonly chain: readonly [number, number];
}

/** Candidate sires whose probabilities are not in (0, 1], or sum to more than 1, or name a sire twice. */
export interface CandidateProbability {
  readonly code: "candidate_probability";
  readonly animal: number;
  readonly total: number;
  readonly chain: readonly number[];
}

export type Sex = "male" | "female";
