import { expect, test } from "vitest";
import { openFuzz } from "./take-hostile.ts";

/** A few seeds; `npm run fuzz -- --seconds N` goes on from there. */
const SEEDS = 12;

test("folders of hostile sheets are taken, set aside or refused, and every record is counted once", async () => {
  const fuzz = await openFuzz();
  for (let seed = 1; seed <= SEEDS; seed++) await fuzz.take(seed);
  await fuzz.close();
  expect(fuzz.tally.folders).toBe(SEEDS);
  expect(fuzz.tally.taken).toBeGreaterThan(0);
  expect(fuzz.tally.setAside).toBeGreaterThan(0);
});
