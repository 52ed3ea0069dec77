import { outcomeJob } from "./association.ts";
import { growthLinesJob, lamenessLinesJob } from "./breeding/line-traits.ts";
import type { Job } from "./crew.ts";
import { growthJob } from "./growth-figures.ts";
import { quarterJob } from "./past-forecasts.ts";
import { retrimJob } from "./retrim.ts";

/** Every job, so that another thread can be told by name which one to do. */
export const jobs: readonly Job<never, unknown>[] = [
  growthJob,
  growthLinesJob,
  lamenessLinesJob,
  outcomeJob,
  quarterJob,
  retrimJob,
];
