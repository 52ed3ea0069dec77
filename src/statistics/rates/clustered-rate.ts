import { checkLevel, type Interval } from "../interval.ts";
import { poissonRate } from "./poisson-rate.ts";

/** Fewer events than this give no usable variance between clusters. */
const EVENTS_FOR_A_VARIANCE = 5;

/** One cluster (an animal): its events within its time at risk. */
export interface ClusterEvents {
  readonly events: number;
  readonly exposure: number;
}

/** A rate over clustered events, with what its interval rests on. */
export interface ClusteredRate extends Interval {
  readonly clusters: number;
  readonly events: number;
  readonly exposure: number;
  /** Variance between clusters over that of a Poisson count, at least 1 (1 where there are too few events). */
  readonly varianceRatio: number;
}

/**
 * Events per unit of exposure when the events of one cluster go together: exact Poisson limits with events and
 * exposure divided by the variance ratio, Σ(events − rate·exposure)²·G/(G − 1) over the G clusters to Σ events
 * (Stukel, Glynn, Fisher et al. 1994, Stat. Med. 13:1781-1791, for the ratio estimator). `undefined` without exposure.
 */
export function clusteredRate(clusters: readonly ClusterEvents[], level = 0.95): ClusteredRate | undefined {
  checkLevel(level);
  const counted = clusters.filter(({ exposure }) => exposure > 0);
  const events = counted.reduce((sum, cluster) => sum + cluster.events, 0);
  const exposure = counted.reduce((sum, cluster) => sum + cluster.exposure, 0);
  const varianceRatio = Math.max(1, rawVarianceRatio(counted, events, exposure));
  const interval = poissonRate(events / varianceRatio, exposure / varianceRatio, level);
  if (interval === undefined) return undefined;
  return { ...interval, clusters: counted.length, events, exposure, varianceRatio };
}

function rawVarianceRatio(clusters: readonly ClusterEvents[], events: number, exposure: number): number {
  const count = clusters.length;
  if (events < EVENTS_FOR_A_VARIANCE || count < 2) return 1;
  const rate = events / exposure;
  const squares = clusters.reduce((sum, cluster) => sum + (cluster.events - rate * cluster.exposure) ** 2, 0);
  return ((count / (count - 1)) * squares) / events;
}
