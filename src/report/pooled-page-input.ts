import type { StudyFlocks } from "../findings/study-flocks.ts";
import type { SeasonPageInput } from "./season-page-input.ts";

/** What a page of several flocks is made from: the flocks as one, and each of them. */
export interface PooledPageInput {
  readonly pooled: SeasonPageInput;
  readonly study: StudyFlocks;
}
