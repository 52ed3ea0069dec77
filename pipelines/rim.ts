import { type DayNumber, dayNumber } from "../src/records/days.ts";
import { visibleText } from "../src/report/visible-text.ts";
import { type Hands, threadHands } from "./hands.ts";

/** Everything outside the program that a verb may touch, so that the same book gives the same bytes. */
export interface Rim {
  /** The calendar day at the keeper's place. */
  readonly today: DayNumber;
  /** The instant of the run, for the manifest and the list of ingests. */
  readonly instant: string;
  /** Results; to a terminal without marks that would steer it, whatever a sheet or file name holds. */
  print(text: string): void;
  /** Progress, counts and warnings. */
  tell(text: string): void;
  /** Width of the terminal that results go to; null when it is not one. */
  readonly width: number | null;
  /** Who computes and draws. Threads start with the first asking. */
  hands(): Hands;
}

export function processRim(): Rim {
  const now = new Date();
  let hands: Hands | undefined;
  // whoever reads the results may stop reading: `coronet worklist | head`
  process.stdout.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code !== "EPIPE") throw error;
    process.exit(0);
  });
  return {
    today: dayNumber(now.getFullYear(), now.getMonth() + 1, now.getDate())!,
    instant: now.toISOString(),
    print: (text) => process.stdout.write(`${process.stdout.isTTY ? visibleText(text) : text}\n`),
    tell: (text) => process.stderr.write(`${process.stderr.isTTY ? visibleText(text) : text}\n`),
    width: process.stdout.isTTY ? process.stdout.columns : null,
    hands: () => {
      hands ??= threadHands();
      return hands;
    },
  };
}
