import { gzipSync } from "node:zlib";
import type { Random } from "./random.ts";

/** A folder of sheets made at random from good sheets and hostile pieces. */
export interface HostileInput {
  readonly files: readonly { readonly path: string; readonly bytes: Uint8Array }[];
  readonly settings: readonly { readonly folder: string; readonly text: string }[];
}

/** One to four sheets, each a good one with cells, headers or bytes put wrong. */
export function hostileInput(random: Random, good: readonly Uint8Array[]): HostileInput {
  const files = Array.from({ length: 1 + random.below(4) }, (_, i) => {
    const made = random.below(3) === 0 ? random.pick(good).slice() : sheetOf(random);
    const bytes = random.below(3) === 0 ? damaged(random, made) : made;
    const packed = random.below(12) === 0 ? new Uint8Array(gzipSync(bytes)) : bytes;
    return { path: `${random.pick(folders)}${i}${random.pick(endings)}`, bytes: packed };
  });
  const settings = random.below(4) === 0 ? [{ folder: "", text: random.pick(settingsTexts) }] : [];
  return { files, settings };
}

const folders = ["", "", "north/", "../", "\u202e", "a b/", "con/", "x".repeat(200)];
const endings = [".csv", ".csv", ".tsv", ".txt", ".json", ".ndjson", ".xlsx", ".gz", ""];

const settingsTexts = [
  'units = "in"',
  "day_first = true",
  'id = "../../up"',
  "expand_groups = true",
  'fill_down = ["date", "animal", "pen"]',
  "sheet_is_animal = true",
  'unlisted_animals = "take"',
  'flocks = "by_folder"',
  '[columns]\n"c" = "lesion"',
  "seasons = [",
  '[same_animal]\n"A1" = "A2"\n"A2" = "A1"',
];

const headers: readonly (readonly string[])[] = [
  ["animal", "date", "foot", "claw", "toe_before_mm", "toe_after_mm", "note"],
  ["animal", "sex", "born", "sire", "dam", "entered", "left"],
  ["animal", "date", "gait", "gait_scale", "foot", "scorer"],
  ["animal", "date", "foot", "lesion", "severity", "status"],
  ["date", "pen", "looked_at", "lame", "others_sound", "gait_scale"],
  ["pen", "from", "to", "crude_protein_pct_dm", "copper_mg_per_kg_dm"],
  ["animal", "pen", "from", "to"],
  ["file", "row", "column", "was", "now", "why"],
  ["animal", "date", "LF inner before (in)", "LF inner after (in)", "RH outer before (in)"],
  ["animal", "2024-01-05", "2024-02-06", "5/3", "Trim 1"],
  ["flock", "animal", "date", "treatment", "withdrawal_until"],
];

const cells = [
  ...[
    "A1",
    "A2",
    "A3",
    "=1+1",
    "@x",
    "0A1",
    "9.82E+14",
    "all",
    "pen A",
    "1-3",
    "LF",
    "LF, RH",
    "all four",
    "inner",
  ],
  ...[
    "2024-01-05",
    "2024-02-30",
    "3/4/2024",
    "31.12.24",
    "45231",
    "99999999",
    "-1",
    "0",
    "1e308",
    "NaN",
    "∞",
    "٣",
  ],
  ...[
    "40",
    "40,5",
    "1.234,5",
    "1 3/8",
    '1-3/8"',
    "1/0",
    "4000",
    "0-4",
    "1-5",
    "2",
    "yes",
    "no",
    "x",
    "?",
    "no rot",
  ],
  ...[
    "scald + shelly",
    "limping, drooling",
    "female",
    "~2021",
    "2019-2021",
    "A1 / A2",
    "1 of 3",
    "P1",
    "\0",
    "\u202e",
  ],
  ...[
    "<script>",
    "'; DROP TABLE x; --",
    "\ud800",
    "\ufeff",
    "a\nb",
    'a"b',
    "x".repeat(5000),
    "trims.csv",
    " ",
    "",
  ],
];

function sheetOf(random: Random): Uint8Array {
  const header = [...random.pick(headers)];
  if (random.below(5) === 0) header.splice(random.below(header.length), 1, random.pick(cells));
  if (random.below(8) === 0) header.push(...random.pick(headers));
  const rows = Array.from({ length: random.below(30) }, () =>
    Array.from({ length: header.length + random.below(3) - random.below(2) }, () => random.pick(cells)),
  );
  const titles = Array.from({ length: random.below(3) }, () => [random.pick(cells)]);
  const all = [...titles, header, ...rows, ...(random.below(6) === 0 ? [header] : [])];
  const shape = random.below(8);
  if (shape === 0) return encoded(random, JSON.stringify(all));
  if (shape === 1) return encoded(random, JSON.stringify(rows.map((row) => objectOf(header, row, random))));
  if (shape === 2)
    return encoded(random, rows.map((row) => JSON.stringify(objectOf(header, row, random))).join("\n"));
  const delimiter = random.pick([",", ";", "\t", "|"]);
  const quoting = random.below(3) > 0;
  const cell = (text: string): string =>
    quoting && /[",;\t|\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  const lineEnd = random.pick(["\n", "\r\n", "\r"]);
  return encoded(random, all.map((row) => row.map(cell).join(delimiter)).join(lineEnd));
}

function objectOf(header: readonly string[], row: readonly string[], random: Random): object {
  return Object.fromEntries(
    header.map((name, i) => [name, random.below(20) === 0 ? { [name]: [row[i] ?? null] } : (row[i] ?? null)]),
  );
}

function encoded(random: Random, text: string): Uint8Array {
  const kind = random.below(10);
  if (kind === 0) return Uint8Array.from(Buffer.from(`\ufeff${text}`, "utf16le"));
  if (kind === 1) return Uint8Array.from(Buffer.from(text, "latin1"));
  if (kind === 2) return new TextEncoder().encode(`\ufeff${text}`);
  return new TextEncoder().encode(text);
}

function damaged(random: Random, bytes: Uint8Array): Uint8Array {
  if (bytes.length === 0) return bytes;
  const changed = bytes.slice();
  for (let n = random.below(6); n > 0; n--) changed[random.below(changed.length)]! ^= 1 + random.below(255);
  const from = random.below(4) === 0 ? random.below(changed.length) : 0;
  const to = random.below(3) === 0 ? random.below(changed.length) : changed.length;
  return changed.subarray(Math.min(from, to), Math.max(from, to));
}
