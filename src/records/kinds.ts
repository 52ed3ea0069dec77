import type { Column, Kind } from "./kind.ts";
import { animals } from "./kinds/animals.ts";
import { corrections } from "./kinds/corrections.ts";
import { events } from "./kinds/events.ts";
import { feeds } from "./kinds/feeds.ts";
import { gaits } from "./kinds/gaits.ts";
import { ground } from "./kinds/ground.ts";
import { kiddings } from "./kinds/kiddings.ts";
import { lesions } from "./kinds/lesions.ts";
import { minerals } from "./kinds/minerals.ts";
import { pens } from "./kinds/pens.ts";
import { rations } from "./kinds/rations.ts";
import { rounds } from "./kinds/rounds.ts";
import { stays } from "./kinds/stays.ts";
import { tags } from "./kinds/tags.ts";
import { treatments } from "./kinds/treatments.ts";
import { trial } from "./kinds/trial.ts";
import { trims } from "./kinds/trims.ts";
import { weather } from "./kinds/weather.ts";

/** Every kind of sheet there is, in the order in which a keeper would fill them in. */
export const kinds = {
  animals,
  tags,
  pens,
  stays,
  trims,
  gaits,
  rounds,
  lesions,
  treatments,
  rations,
  feeds,
  minerals,
  ground,
  weather,
  kiddings,
  events,
  trial,
  corrections,
} as const satisfies Record<string, Kind>;

export type KindId = keyof typeof kinds;

export const kindIds = Object.keys(kinds) as readonly KindId[];

/** The definition of one column of a kind; throws on a name the kind does not have (a programming error). */
export function columnOf(kind: KindId, name: string): Column {
  const column = kinds[kind].columns.find((candidate) => candidate.name === name);
  if (!column) throw new Error(`kind ${kind} has no column ${name}`);
  return column;
}
