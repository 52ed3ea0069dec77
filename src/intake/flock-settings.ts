import type { Book } from "../book/book.ts";
import type { Settings } from "../records/settings.ts";
import { sha256 } from "../records/sha256.ts";
import { numbers, texts } from "./load-columns.ts";

/** A flock and what is set for it. */
export interface FlockToTake {
  readonly flock: string;
  readonly settings: Settings;
  readonly namedBy: "folder" | "settings" | "row";
}

/** Settings that change how a sheet is read; others only change what is made of it. */
const readingSettings = [
  "units",
  "language",
  "day_first",
  "columns",
  "values",
  "kinds",
  "lesions",
  "fill_down",
  "sheet_is_animal",
  "expand_groups",
  "gait_scale",
  "lame_from",
] as const satisfies readonly (keyof Settings)[];

/** Tells settings apart under which a sheet would be read differently. */
export function settingsKeyOf(settings: Settings): string {
  const text = JSON.stringify(readingSettings.map((key) => settings[key] ?? null));
  return sha256(new TextEncoder().encode(text));
}

/** Whether the settings that stand in the book for these flocks, if any, say something else. */
export async function settingsDiffer(book: Book, flocks: readonly FlockToTake[]): Promise<boolean> {
  const rows = await book.rows<{ flock: string; settings: string; named_by: string }>(
    `SELECT flock, settings, named_by FROM intake.flock_setting
     QUALIFY row_number() OVER (PARTITION BY flock ORDER BY ingest_id DESC) = 1`,
  );
  const known = new Map(rows.map((row) => [row.flock, row]));
  return flocks.some(({ flock, settings, namedBy }) => {
    const before = known.get(flock);
    return (
      before !== undefined && (before.settings !== JSON.stringify(settings) || before.named_by !== namedBy)
    );
  });
}

/** Writes the settings of an ingest, and the tags that they say are one animal. */
export async function loadSettings(
  book: Book,
  ingestId: number,
  flocks: readonly FlockToTake[],
): Promise<void> {
  const all = flocks.map(({ settings }) => settings);
  await book.load("intake.flock_setting", [
    numbers(
      "ingest_id",
      flocks.map(() => ingestId),
    ),
    texts(
      "flock",
      flocks.map(({ flock }) => flock),
    ),
    texts(
      "name",
      all.map(({ name }) => name ?? null),
    ),
    texts(
      "settings",
      all.map((settings) => JSON.stringify(settings)),
    ),
    texts(
      "named_by",
      flocks.map(({ namedBy }) => namedBy),
    ),
    texts(
      "unlisted_animals",
      all.map((settings) => settings.unlisted_animals),
    ),
    { name: "expand_groups", type: "flag", values: all.map((settings) => settings.expand_groups) },
    texts(
      "gait_scale",
      all.map(({ gait_scale }) => gait_scale ?? null),
    ),
  ]);
  const known = new Set(flocks.map(({ flock }) => flock));
  const same = flocks.flatMap(({ flock, settings }) =>
    Object.entries(settings.same_animal).map(([tag, other]) => ({
      ...tagOfFlock(tag, flock, known),
      same: tagOfFlock(other, flock, known),
      named: flock,
    })),
  );
  // a pair under a flock that it does not speak of belongs to the flock of its first tag
  const pairs = same.filter((pair) => pair.named === pair.flock);
  await book.load("intake.same_tag", [
    numbers(
      "ingest_id",
      pairs.map(() => ingestId),
    ),
    texts(
      "flock",
      pairs.map(({ flock }) => flock),
    ),
    texts(
      "tag",
      pairs.map(({ tag }) => tag),
    ),
    texts(
      "same_flock",
      pairs.map(({ same: other }) => other.flock),
    ),
    texts(
      "same_tag",
      pairs.map(({ same: other }) => other.tag),
    ),
  ]);
}

/** `north/12` names tag 12 of flock north where there is such a flock; else it is a tag of the flock itself. */
function tagOfFlock(text: string, flock: string, known: ReadonlySet<string>): { flock: string; tag: string } {
  const stroke = text.indexOf("/");
  const named = stroke > 0 ? text.slice(0, stroke).trim() : "";
  return known.has(named)
    ? { flock: named, tag: text.slice(stroke + 1).trim() }
    : { flock, tag: text.trim() };
}
