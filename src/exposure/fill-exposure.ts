import type { Book } from "../book/book.ts";
import { checkTable } from "../book/check-table.ts";
import type { Flock } from "../records/flock.ts";
import { animalLineStatement } from "./animal-line.ts";
import { animalPenStatements } from "./animal-pen.ts";
import { classStatements } from "./class-on-day.ts";
import { fillWeatherWetness } from "./fill-weather-wetness.ts";
import { fillFlocks } from "./flocks.ts";
import { penDay, penDayStatements } from "./pen-day.ts";
import { presenceStatement } from "./presence.ts";

/** Works out, from the herd tables, where every animal stood on each day and what its pen ate and stood on. */
export async function fillExposure(book: Book, flocks: readonly Flock[]): Promise<void> {
  await fillFlocks(book, flocks);
  const housed = [presenceStatement, animalLineStatement, ...animalPenStatements, ...classStatements];
  for (const statement of housed) await book.run(statement);
  await fillWeatherWetness(book, flocks);
  for (const statement of penDayStatements) await book.run(statement);
  await checkTable(book, penDay);
}
