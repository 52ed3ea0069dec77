import { Random } from "../../statistics/random.ts";
import type { SheetCell, SheetRow, Sheets } from "../sheet-row.ts";

/** How a trimmer jots down what a lesion sheet spells out. */
const jottings: Readonly<Record<string, readonly string[]>> = {
  none: ["ok", "clean", "nothing found", "no rot"],
  "sore between the toes": ["scald", "red between toes", "sore between toes?"],
  footrot: ["rot", "foot rot + smell", "hoof rot, long"],
  "white line abscess": ["abscess", "pus in toe", "abscess?"],
  "white line separation": ["white line", "white line split / long"],
  "loose wall": ["shelly", "shelly; packed with mud", "loose wall"],
  crack: ["crack", "cracked hoof, long"],
  "sole haemorrhage": ["bruised sole", "bruise"],
  "toe granuloma": ["proud flesh", "granuloma"],
  "foreign body": ["thorn", "stone"],
  injury: ["cut", "wound"],
  "swollen coronet or joint": ["swollen fetlock", "swelling"],
  "laminitis signs": ["founder?", "hot feet"],
};
const ownWords = ["mud plug", "flaky", "corkscrew"];

const header = [
  "Date",
  "Goat",
  "What found",
  "Gait score",
  "Scale",
  "Scored by",
  "Trimmed?",
  "Bled?",
  "Trimmed by",
];

/**
 * A trimmer's sheet: a row for each goat handled, with the findings as free text that holds the foot, and rows
 * between them for gait scores, by two people who do not always agree.
 */
export function trimmersSheet(sheets: Sheets, seed: number): readonly (readonly SheetCell[])[] {
  const random = new Random(seed);
  const found = byVisit(sheets.lesions);
  const trims = byVisit(sheets.trims);
  const handled = [...new Set([...trims.keys(), ...found.keys()])].map((key) => {
    const looks = trims.get(key) ?? [];
    const lesions = found.get(key) ?? [];
    const first = looks[0] ?? lesions[0];
    return [
      first.date,
      first.animal,
      lesions.length > 0 ? lesions.map((lesion) => jotting(random, lesion)).join(" + ") : oddWord(random),
      null,
      null,
      null,
      looks.length === 0 ? null : looks.some((look) => look.trimmed === "yes") ? "Y" : "N",
      looks.some((look) => look.bled === "yes") ? "Y" : null,
      looks.find((look) => look.trimmer !== null)?.trimmer ?? null,
    ];
  });
  const scored = sheets.gaits.map((row) => [
    row.date,
    row.animal,
    null,
    row.gait,
    "1 to 5",
    row.scorer,
    null,
    null,
    null,
  ]);
  const rows = [...handled, ...scored].sort((a, b) => (String(a[0]) < String(b[0]) ? -1 : 1));
  return [header, ...rows];
}

function byVisit(rows: readonly SheetRow[]): Map<string, SheetRow[]> {
  const visits = new Map<string, SheetRow[]>();
  for (const row of rows) {
    const key = `${row.animal}|${row.date}`;
    visits.set(key, [...(visits.get(key) ?? []), row]);
  }
  return visits;
}

function jotting(random: Random, lesion: SheetRow): string {
  const ways = jottings[String(lesion.lesion)];
  const way = ways[random.integer(ways.length)];
  return lesion.foot === null ? way : `${lesion.foot} ${way}`;
}

/** Words of the trimmer's own that no list holds. */
function oddWord(random: Random): string | null {
  return random.bernoulli(0.08) ? ownWords[random.integer(ownWords.length)] : null;
}
