import type { ClawLook, LeftBy } from "./claw-look.ts";

/** What an animal's claws were left with at a look: means and variances of their true overhangs, mm and mm². */
export interface VisitStart {
  readonly animal: string;
  readonly day: number;
  readonly claws: readonly ClawStart[];
}

export interface ClawStart {
  readonly foot: string;
  readonly claw: string;
  /** Day of the claw's own last look: earlier than the visit's where it was missed. */
  readonly day: number;
  readonly mean: number;
  readonly variance: number;
}

/** How readings spread: the error of one, and the claws of a visit about their mean in truth, variances in mm². */
export interface StartSpread {
  readonly reading: number;
  readonly within: Readonly<Record<LeftBy, number>>;
}

/** Spread of claws that were cut to a mark but not read afterwards, mm. Project default. */
const UNREAD_SD = 1;

/** Learns from a flock's looks how far the claws of one visit truly lie apart: what readings vary beyond their error. */
export function startSpread(looks: readonly ClawLook[], readingVariance: number): StartSpread {
  const within = (leftBy: LeftBy): number => {
    let squares = 0;
    let degrees = 0;
    for (const visit of visitsOf(looks)) {
      const left = visit.flatMap((look) => (look.leftBy === leftBy && look.left !== null ? [look.left] : []));
      const mean = meanOf(left);
      if (left.length < 2) continue;
      squares += left.reduce((sum, one) => sum + (one - mean) ** 2, 0);
      degrees += left.length - 1;
    }
    return degrees === 0 ? UNREAD_SD ** 2 : Math.max(0, squares / degrees - readingVariance);
  };
  return {
    reading: readingVariance,
    within: { after: within("after"), before: within("before"), assumed: UNREAD_SD ** 2 },
  };
}

/**
 * The true overhangs behind the readings of one visit: each reading drawn toward the mean of the claws that were left in
 * the same way by the share of the error in what readings vary (the best linear prediction; Robinson 1991, Statist.
 * Sci. 6, 15-32).
 */
export function clawStarts(visit: readonly ClawLook[], spread: StartSpread): ClawStart[] {
  const starts: ClawStart[] = [];
  for (const leftBy of ["after", "before", "assumed"] as const) {
    const own = visit.filter((look) => look.leftBy === leftBy && look.left !== null);
    const within = spread.within[leftBy];
    const mean = meanOf(own.map((look) => look.left!));
    const kept = leftBy === "assumed" ? 0 : within / (within + spread.reading || 1);
    // A claw on its own has no others to be drawn toward.
    const alone = own.length === 1 && leftBy !== "assumed";
    for (const look of own) {
      starts.push({
        foot: look.foot,
        claw: look.claw,
        day: look.day,
        mean: alone ? look.left! : mean + kept * (look.left! - mean),
        variance: alone
          ? spread.reading
          : leftBy === "assumed"
            ? within
            : kept * spread.reading + ((1 - kept) ** 2 * (within + spread.reading)) / own.length,
      });
    }
  }
  return starts;
}

/** Looks of one animal on one day, in order. */
export function visitsOf(looks: readonly ClawLook[]): ClawLook[][] {
  const visits: ClawLook[][] = [];
  looks.forEach((look, i) => {
    const before = looks[i - 1];
    if (before !== undefined && before.animal === look.animal && before.day === look.day)
      visits.at(-1)!.push(look);
    else visits.push([look]);
  });
  return visits;
}

function meanOf(values: readonly number[]): number {
  return values.length === 0 ? 0 : values.reduce((sum, value) => sum + value, 0) / values.length;
}
