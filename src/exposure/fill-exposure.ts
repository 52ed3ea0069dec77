import type { Book } from "../book/book.ts";
import type { Flock } from "../records/flock.ts";
import { animalLineStatement } from "./animal-line.ts";
import { animalPenStatements } from "./animal-pen.ts";
import { classStatements } from "./class-on-day.ts";
import { fillFlocks } from "./flocks.ts";
import { penDayStatements } from "./pen-day.ts";
import { presenceStatement } from "./presence.ts";

/** Works out, from the herd tables, where every animal stood on each day and what its pen ate and stood on. */
export async function fillExposure(book: Book, flocks: readonly Flock[]): Promise<void> {
  await fillFlocks(book, flocks);
  const statements = [
    presenceStatement,
    animalLineStatement,
    ...animalPenStatements,
    ...classStatements,
    ...penDayStatements,
  ];
  for (const statement of statements) await book.run(statement);
}
