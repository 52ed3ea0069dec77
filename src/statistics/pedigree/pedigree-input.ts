import type { Sex } from "./pedigree-fault.ts";

/** One possible sire and the chance that he is the one. */
export interface CandidateSire {
  readonly sire: number;
  readonly probability: number;
}

/** Parents as recorded: one entry an animal, parents as indices into the same list, -1 where not known. */
export interface PedigreeInput {
  readonly sire: ArrayLike<number>;
  readonly dam: ArrayLike<number>;
  /** Used instead of `sire` for the animals it names; what is missing to 1 is a sire outside the list. */
  readonly candidateSires?: ReadonlyMap<number, readonly CandidateSire[]>;
  readonly sex?: ArrayLike<Sex | null>;
  /** Day of birth on any day count, null where not known. */
  readonly birth?: ArrayLike<number | null>;
}
