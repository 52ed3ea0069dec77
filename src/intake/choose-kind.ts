import { code } from "../records/codes.ts";
import { type KindId, kindIds } from "../records/kinds.ts";
import { fold } from "./fold.ts";
import { type HeaderMeaning, type HeaderReading, readHeaders } from "./read-headers.ts";

/** The kinds that a row of headers gives, main one first, each with the columns that are its own. */
export interface ChosenKinds {
  readonly readings: readonly HeaderReading[];
  /** Whether the animal must come from the worksheet's name or a title. */
  readonly lacksAnimal: boolean;
  /** Whether the day must come from a title. */
  readonly lacksDay: boolean;
  /** How many headers are understood; the header row is the row with most. */
  readonly explained: number;
}

export interface KindQuestion {
  readonly reason: string;
  readonly column: string | null;
}

export interface KindHints {
  /** What `[kinds]` in the settings says of this sheet. */
  readonly answered: KindId | null;
  /** Title lines and the worksheet's name. */
  readonly titles: readonly string[];
  /** Whether a title or the worksheet's name is the tag of the one animal that the sheet is about. */
  readonly ofOneAnimal: boolean;
  /** Whether a title gives the day of the whole sheet. */
  readonly ofOneDay: boolean;
}

/** Kinds that are one look at one animal on one day: one sheet may hold several of them. */
const lookKinds: readonly KindId[] = ["trims", "gaits", "lesions", "treatments"];

/** Kinds that a worksheet about one animal may hold without naming it in a column. */
const ofOneAnimalKinds: readonly KindId[] = [...lookKinds, "stays", "kiddings"];

/**
 * Recognises what kinds of record a row of headers gives, by its columns alone. An animal, a day and remarks
 * are trims only where a header, a title or the worksheet's name speaks of trims, hooves or feet.
 */
export function chooseKinds(
  headers: readonly string[],
  own: ReadonlyMap<string, string>,
  hints: KindHints,
): ChosenKinds | KindQuestion {
  const readOne: ReadKind = (kind) => dayFromTitle(readHeaders(kind, headers, own), hints);
  if (hints.answered !== null) return answeredKind(readOne(hints.answered), readOne);
  const readings = kindIds.map(readOne);
  const animalLess = readings.filter(
    (reading) =>
      ofOneAnimalKinds.includes(reading.kind) &&
      reading.tells &&
      reading.missing.length === 1 &&
      reading.missing[0] === "animal",
  );
  const whole = readings.filter((reading) => reading.tells && reading.missing.length === 0);
  const best = pickBest(hints.ofOneAnimal ? [...whole, ...animalLess] : whole, hints);
  if (best !== null) {
    return "reason" in best ? best : withSecondKinds(best, readOne, best.missing.length > 0);
  }
  const ofOneAnimal = pickBest(animalLess, hints);
  if (ofOneAnimal !== null) {
    return "reason" in ofOneAnimal ? ofOneAnimal : withSecondKinds(ofOneAnimal, readOne, true);
  }
  return visitsOnly(readings, headers, readOne, hints) ?? unmet(readings);
}

export function isQuestion(chosen: ChosenKinds | KindQuestion): chosen is KindQuestion {
  return "reason" in chosen;
}

/** Whether a text speaks of trims, hooves or feet. */
export function speaksOfHooves(text: string): boolean {
  return fold(text)
    .split(" ")
    .some((word) => hoofWords.has(word));
}

const hoofWords = new Set(
  "trim trims trimmed trimming hoof hooves hoofs foot feet recorte recortes recortado recortadas pezuna pezunas pata patas casco cascos despalme".split(
    " ",
  ),
);

type ReadKind = (kind: KindId) => HeaderReading;

/** Kinds that are things done or seen on one day, which a title may name for the whole sheet. */
const ofOneDayKinds: readonly KindId[] = [...lookKinds, "ground", "kiddings"];

/** A reading that lacks nothing but a day which the title gives, lacks nothing. */
function dayFromTitle(reading: HeaderReading, { ofOneDay }: KindHints): HeaderReading {
  const lacks = ofOneDayKinds.includes(reading.kind) && reading.missing.includes("date");
  if (!ofOneDay || !lacks || reading.meanings.length === 0) return reading;
  return { ...reading, missing: reading.missing.filter((name) => name !== "date") };
}

function lacksDay({ kind, meanings }: HeaderReading): boolean {
  return ofOneDayKinds.includes(kind) && !meanings.some(({ column }) => column?.name === "date");
}

function pickBest(readings: readonly HeaderReading[], hints: KindHints): HeaderReading | KindQuestion | null {
  const looks = readings.filter(({ kind }) => lookKinds.includes(kind));
  const trims = looks.find(({ kind }) => kind === "trims");
  const ranked = [...readings]
    // of several looks on one sheet the trims lead and the others follow them
    .filter((reading) => !looks.includes(reading) || reading === (trims ?? mostExplained(looks)))
    .sort((a, b) => strength(b) - strength(a));
  const [first, second] = ranked;
  if (first === undefined) return null;
  if (second === undefined || strength(second) < strength(first)) return first;
  const tied = ranked.filter((reading) => strength(reading) === strength(first));
  const hooves = tied.find(({ kind }) => kind === "trims");
  if (hooves !== undefined && hints.titles.some(speaksOfHooves)) return hooves;
  return { reason: code("kind_not_sure", tied.map(({ kind }) => kind).join(", ")), column: null };
}

function mostExplained(readings: readonly HeaderReading[]): HeaderReading | undefined {
  return [...readings].sort((a, b) => strength(b) - strength(a))[0];
}

/** Headers explained first; between equals, those explained by a column's own name. */
function strength({ meanings }: HeaderReading): number {
  const named = meanings.filter(({ sureness }) => sureness === "name" || sureness === "settings").length;
  return meanings.length + named / 100;
}

/** Further kinds whose telling columns the main one leaves over, such as a gait column on a trims sheet. */
function withSecondKinds(main: HeaderReading, readOne: ReadKind, lacksAnimal: boolean): ChosenKinds {
  const readings = [main];
  const taken = new Set(main.meanings.map(({ index }) => index));
  if (lookKinds.includes(main.kind)) {
    for (const kind of lookKinds) {
      if (kind === main.kind) continue;
      const reading = readOne(kind);
      const left = reading.meanings.filter((meaning) => !taken.has(meaning.index));
      const needed = reading.missing.filter((name) => name !== "animal" || !lacksAnimal);
      if (needed.length > 0 || !left.some((meaning) => isTelling(kind, meaning))) continue;
      for (const { index } of left) taken.add(index);
      readings.push({ ...reading, meanings: left });
    }
  }
  return { readings, lacksAnimal, lacksDay: lacksDay(main), explained: taken.size };
}

function isTelling(kind: KindId, { column }: HeaderMeaning): boolean {
  return kind === "trims"
    ? column?.name === "trimmed" || column?.name === "toe_before_mm"
    : column?.name === { gaits: "gait", lesions: "lesion", treatments: "treatment" }[kind as string];
}

/** An animal, a day and remarks alone. */
function visitsOnly(
  readings: readonly HeaderReading[],
  headers: readonly string[],
  readOne: ReadKind,
  hints: KindHints,
): ChosenKinds | KindQuestion | null {
  const trims = readings.find(({ kind }) => kind === "trims");
  if (trims === undefined || trims.missing.includes("date")) return null;
  const lacksAnimal = trims.missing.includes("animal");
  if (lacksAnimal && trims.meanings.length < 2 && headers.length > 1) return null;
  if ([...headers, ...hints.titles].some(speaksOfHooves)) {
    return withSecondKinds(trims, readOne, lacksAnimal);
  }
  return lacksAnimal ? null : { reason: code("kind_not_sure", "trims"), column: null };
}

function answeredKind(reading: HeaderReading, readOne: ReadKind): ChosenKinds | KindQuestion {
  const missing = reading.missing.filter((name) => name !== "animal");
  if (missing.length > 0)
    return { reason: code("missing_column", reading.kind, missing[0]!), column: missing[0]! };
  return withSecondKinds(reading, readOne, reading.missing.includes("animal"));
}

/** The nearest kind, and which column it lacks. */
function unmet(readings: readonly HeaderReading[]): KindQuestion {
  const near = mostExplained(readings.filter((reading) => reading.tells && reading.missing.length > 0));
  if (near === undefined || near.meanings.length < 2)
    return { reason: code("kind_not_recognised"), column: null };
  return { reason: code("missing_column", near.kind, near.missing[0]!), column: near.missing[0]! };
}
