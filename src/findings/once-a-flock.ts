import type { Flock } from "../records/flock.ts";
import type { FindingContext } from "./finding.ts";

/** What several findings ask of a flock, worked out once in a run. */
export interface OnceAFlock<Answer> {
  (context: FindingContext, flock: Flock): Promise<Answer>;
  /** Begins the work for every flock. */
  begin(context: FindingContext): Promise<unknown>;
}

/** Keeps the answers of one run. */
export function onceAFlock<Answer>(
  work: (context: FindingContext, flock: Flock) => Promise<Answer>,
): OnceAFlock<Answer> {
  const known = new WeakMap<FindingContext, Map<string, Promise<Answer>>>();
  const ask = (context: FindingContext, flock: Flock): Promise<Answer> => {
    const answers = known.get(context) ?? new Map<string, Promise<Answer>>();
    known.set(context, answers);
    const answer = answers.get(flock.id) ?? work(context, flock);
    answers.set(flock.id, answer);
    return answer;
  };
  const begin = (context: FindingContext): Promise<unknown> =>
    Promise.all(context.flocks.map((flock) => ask(context, flock)));
  return Object.assign(ask, { begin });
}
