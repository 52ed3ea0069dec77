import type { FlockCalendar } from "./flock-calendar.ts";
import type { FlockPlan } from "./flock-options.ts";
import type { DemoAnimal } from "./invent-animals.ts";
import type { FootTroubles } from "./invent-foot-troubles.ts";
import type { Lameness } from "./invent-lameness.ts";
import type { Life } from "./invent-lives.ts";
import type { DemoPen } from "./invent-pens.ts";
import type { Trims } from "./invent-trims.ts";
import type { DemoWeather } from "./invent-weather.ts";

/** Everything drawn for one flock, before it is written into sheets. */
export interface InventedParts {
  readonly plan: FlockPlan;
  readonly calendar: FlockCalendar;
  readonly weather: DemoWeather;
  readonly pens: readonly DemoPen[];
  readonly animals: readonly DemoAnimal[];
  readonly lives: readonly Life[];
  readonly trims: Trims;
  readonly lameness: Lameness;
  readonly troubles: FootTroubles;
}
