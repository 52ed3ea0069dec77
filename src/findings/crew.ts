/**
 * A piece of a finding that only computes: from plain data (rows, typed arrays, maps) to plain data, so that it can be
 * done on another thread. The same input gives the same output wherever it is done.
 */
export interface Job<Input, Output> {
  readonly name: string;
  work(input: Input): Output;
}

/** Whoever does the jobs: this thread, or several others. */
export interface Crew {
  run<Input, Output>(job: Job<Input, Output>, input: Input): Promise<Output>;
}

/** Does every job at once on the thread that asks. */
export const onThisThread: Crew = {
  run: async (job, input) => job.work(input),
};
