import { Random } from "../../statistics/random.ts";
import type { SheetCell, Sheets } from "../sheet-row.ts";
import { monthDayYear } from "./as-written.ts";

const remarks = [
  "x long",
  "x, fidgets",
  "x trimmed down well",
  "limping LH, x",
  "x smelly between toes",
  "x no rot",
  "left for next time",
];

/**
 * A keeper's grid: goats down, trim days across, an x or a remark in the cell, a title above and no pens. The
 * days are those on which most goats were trimmed; goats trimmed within the week stand under that day.
 */
export function keepersGrid(sheets: Sheets, seed: number): readonly (readonly SheetCell[])[] {
  const random = new Random(seed);
  const trimmedOn = new Map<string, Set<SheetCell>>();
  for (const row of sheets.trims) {
    if (row.trimmed !== "yes") continue;
    const date = String(row.date);
    trimmedOn.set(date, (trimmedOn.get(date) ?? new Set()).add(row.animal));
  }
  const dates = [...trimmedOn.keys()].sort();
  const goats = [...new Set(sheets.trims.map((row) => row.animal))].sort();
  const rows = goats.map((goat) => [
    goat,
    ...dates.map((date) => {
      if (trimmedOn.get(date)?.has(goat))
        return random.bernoulli(0.75) ? "x" : remarks[random.integer(remarks.length)];
      return random.bernoulli(0.01) ? "seen, feet good" : null;
    }),
  ]);
  return [
    ["Hoof trimming, Quarry End", ...dates.map(() => null)],
    ["Goat", ...dates.map(monthDayYear)],
    ...rows,
  ];
}
