import type { Flock } from "../src/records/flock.ts";
import { nearest } from "../src/records/nearest.ts";
import { Unusable } from "./unusable.ts";
import type { Call } from "./verb.ts";

/** The flock that a call names, or the only one of the book. */
export function oneFlock(call: Call, flocks: readonly Flock[]): Flock {
  const asked = call.text("flock");
  const ids = flocks.map(({ id }) => id);
  if (asked === null) {
    if (flocks.length === 1) return flocks[0]!;
    throw new Unusable(
      flocks.length === 0
        ? "The book holds no flock with records."
        : `The book holds ${flocks.length} flocks; name one: --flock ${ids.join(", --flock ")}`,
    );
  }
  const found = flocks.find(({ id }) => id === asked);
  if (found) return found;
  const near = nearest(asked, ids);
  throw new Unusable(`The book holds no flock ${asked}${near === null ? "" : `; did you mean ${near}?`}`);
}
