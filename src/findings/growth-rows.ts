import type { Book } from "../book/book.ts";
import { quoteText } from "../book/book.ts";
import { MODELLED } from "./growth-interval.ts";

/** Factors of which an interval's days are counted level by level. */
const stretchFactors = ["ground", "age_band", "class"] as const;
export type StretchFactor = (typeof stretchFactors)[number];

/**
 * The modelled growth intervals of one flock, one row a claw and interval, in the order animal, first day, last day,
 * foot, claw. Rows of one animal between the same two days share a span; the days of a span fall into pieces on which
 * pen, ground, age band, class and month stay the same.
 */
export interface GrowthRows {
  readonly flock: string;
  readonly count: number;
  /** mm grown. */
  readonly growth: Float64Array;
  readonly basis: readonly string[];
  readonly span: Int32Array;
  readonly animal: Int32Array;
  /** Position in `claws`. */
  readonly claw: Int32Array;
  /** Row of the same claw that ends with the very reading this one starts with; −1: none. */
  readonly sharedWith: Int32Array;
  readonly animals: readonly string[];
  readonly claws: readonly { readonly animal: number; readonly foot: string; readonly claw: string }[];
  readonly spans: GrowthSpans;
}

export interface GrowthSpans {
  readonly count: number;
  readonly animal: Int32Array;
  /** Day numbers of the two readings. */
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** Days / 30. */
  readonly months: Float64Array;
  /** Pieces of span s: pieceStart[s] to pieceStart[s + 1] − 1. */
  readonly pieceStart: Int32Array;
  readonly pieceMonths: Float64Array;
  /** Position in `pens`; −1: not known. */
  readonly piecePen: Int32Array;
  /** Position in `calendarMonths`. */
  readonly pieceMonth: Int32Array;
  readonly pieceLevel: Readonly<Record<StretchFactor, Int32Array>>;
  readonly pens: readonly string[];
  /** First day of each calendar month met, ascending. */
  readonly calendarMonths: readonly number[];
  readonly levels: Readonly<Record<StretchFactor, readonly string[]>>;
}

/** Reads the intervals of a flock that models count, and where their days were spent. */
export async function readGrowthRows(book: Book, flock: string): Promise<GrowthRows> {
  const where = `flock = ${quoteText(flock)} AND ${MODELLED}`;
  const rows = await book.columns(`
    SELECT animal, foot, claw, day_no(date_from) AS from_day, day_no(date_to) AS to_day, growth_mm, basis, starts_untrimmed
    FROM results.growth_interval WHERE ${where} ORDER BY animal, date_from, date_to, foot, claw`);
  const pieces = await book.columns(`
    SELECT i.animal, day_no(i.date_from) AS from_day, day_no(i.date_to) AS to_day, s.pen, s.ground, s.age_band, s.class, day_no(s.month) AS month,
      CAST(least(s.to_day, i.date_to) - greatest(s.from_day, i.date_from) AS INTEGER) AS days
    FROM (SELECT DISTINCT flock, animal, date_from, date_to FROM results.growth_interval WHERE ${where}) i
    JOIN exposure.animal_stretch s ON s.flock = i.flock AND s.animal = i.animal AND s.from_day < i.date_to AND s.to_day > i.date_from
    ORDER BY i.animal, i.date_from, i.date_to, s.from_day`);
  const from = rows.number("from_day");
  const to = rows.number("to_day");
  const tags = rows.text("animal") as readonly string[];
  const feet = rows.text("foot") as readonly string[];
  const clawNames = rows.text("claw") as readonly string[];
  const basis = rows.text("basis") as readonly string[];
  const untrimmed = rows.flag("starts_untrimmed");
  const count = rows.rowCount;

  const span = new Int32Array(count);
  const animal = new Int32Array(count);
  const claw = new Int32Array(count);
  const sharedWith = new Int32Array(count).fill(-1);
  const animals: string[] = [];
  const claws: { animal: number; foot: string; claw: string }[] = [];
  const spanAt: number[] = [];
  let clawsOfAnimal = new Map<string, number>();
  let lastOfClaw: number[] = [];
  for (let i = 0; i < count; i++) {
    if (i === 0 || tags[i] !== tags[i - 1]) {
      animals.push(tags[i]!);
      clawsOfAnimal = new Map();
      lastOfClaw = [];
    }
    if (i === 0 || tags[i] !== tags[i - 1] || from[i] !== from[i - 1] || to[i] !== to[i - 1]) spanAt.push(i);
    span[i] = spanAt.length - 1;
    animal[i] = animals.length - 1;
    const name = `${feet[i]}|${clawNames[i]}`;
    let own = clawsOfAnimal.get(name);
    if (own === undefined) {
      own = claws.length;
      clawsOfAnimal.set(name, own);
      claws.push({ animal: animal[i]!, foot: feet[i]!, claw: clawNames[i]! });
    }
    claw[i] = own;
    const before = lastOfClaw[own];
    if (
      before !== undefined &&
      untrimmed[i] === true &&
      to[before] === from[i] &&
      basis[before] === basis[i]
    ) {
      sharedWith[i] = before;
    }
    lastOfClaw[own] = i;
  }
  return {
    flock,
    count,
    growth: rows.number("growth_mm"),
    basis,
    span,
    animal,
    claw,
    sharedWith,
    animals,
    claws,
    spans: spansOf(
      spanAt.map((i) => ({ animal: animal[i]!, tag: tags[i]!, from: from[i]!, to: to[i]! })),
      pieces,
    ),
  };
}

/** The same records as they stood on a day: intervals that had ended by then. */
export function growthRowsUntil(rows: GrowthRows, day: number): GrowthRows {
  const { spans } = rows;
  const keptSpans = [...spans.to.keys()].filter((s) => spans.to[s]! <= day);
  const spanPlace = placesOf(keptSpans, spans.count);
  const kept = [...rows.span.keys()].filter((i) => spanPlace[rows.span[i]!]! >= 0);
  const rowPlace = placesOf(kept, rows.count);
  const keptAnimals = [...new Set(kept.map((i) => rows.animal[i]!))].sort((a, b) => a - b);
  const animalPlace = placesOf(keptAnimals, rows.animals.length);
  const keptClaws = [...new Set(kept.map((i) => rows.claw[i]!))].sort((a, b) => a - b);
  const clawPlace = placesOf(keptClaws, rows.claws.length);
  const pieces: number[] = [];
  const pieceStart = new Int32Array(keptSpans.length + 1);
  keptSpans.forEach((s, k) => {
    for (let piece = spans.pieceStart[s]!; piece < spans.pieceStart[s + 1]!; piece++) pieces.push(piece);
    pieceStart[k + 1] = pieces.length;
  });
  const keptMonths = [...new Set(pieces.map((piece) => spans.pieceMonth[piece]!))].sort((a, b) => a - b);
  const monthPlace = placesOf(keptMonths, spans.calendarMonths.length);
  const ofPieces = (of: Int32Array): Int32Array => Int32Array.from(pieces, (piece) => of[piece]!);
  return {
    flock: rows.flock,
    count: kept.length,
    growth: Float64Array.from(kept, (i) => rows.growth[i]!),
    basis: kept.map((i) => rows.basis[i]!),
    span: Int32Array.from(kept, (i) => spanPlace[rows.span[i]!]!),
    animal: Int32Array.from(kept, (i) => animalPlace[rows.animal[i]!]!),
    claw: Int32Array.from(kept, (i) => clawPlace[rows.claw[i]!]!),
    sharedWith: Int32Array.from(kept, (i) => (rows.sharedWith[i]! < 0 ? -1 : rowPlace[rows.sharedWith[i]!]!)),
    animals: keptAnimals.map((a) => rows.animals[a]!),
    claws: keptClaws.map((c) => ({ ...rows.claws[c]!, animal: animalPlace[rows.claws[c]!.animal]! })),
    spans: {
      count: keptSpans.length,
      animal: Int32Array.from(keptSpans, (s) => animalPlace[spans.animal[s]!]!),
      from: Int32Array.from(keptSpans, (s) => spans.from[s]!),
      to: Int32Array.from(keptSpans, (s) => spans.to[s]!),
      months: Float64Array.from(keptSpans, (s) => spans.months[s]!),
      pieceStart,
      pieceMonths: Float64Array.from(pieces, (piece) => spans.pieceMonths[piece]!),
      piecePen: ofPieces(spans.piecePen),
      pieceMonth: Int32Array.from(pieces, (piece) => monthPlace[spans.pieceMonth[piece]!]!),
      pieceLevel: {
        ground: ofPieces(spans.pieceLevel.ground),
        age_band: ofPieces(spans.pieceLevel.age_band),
        class: ofPieces(spans.pieceLevel.class),
      },
      pens: spans.pens,
      calendarMonths: keptMonths.map((month) => spans.calendarMonths[month]!),
      levels: spans.levels,
    },
  };
}

/** New place of each kept position; −1 for the others. */
function placesOf(kept: readonly number[], count: number): Int32Array {
  const places = new Int32Array(count).fill(-1);
  kept.forEach((old, place) => {
    places[old] = place;
  });
  return places;
}

function spansOf(
  spans: readonly { animal: number; tag: string; from: number; to: number }[],
  pieces: Awaited<ReturnType<Book["columns"]>>,
): GrowthSpans {
  const tags = pieces.text("animal");
  const from = pieces.number("from_day");
  const to = pieces.number("to_day");
  const pieceStart = new Int32Array(spans.length + 1);
  let at = 0;
  spans.forEach((span, s) => {
    pieceStart[s] = at;
    while (at < pieces.rowCount && tags[at] === span.tag && from[at] === span.from && to[at] === span.to)
      at++;
  });
  pieceStart[spans.length] = at;
  if (at !== pieces.rowCount) throw new Error("growth intervals and the days they fall on do not match");
  const pens = levelsOf(pieces.text("pen"));
  const month = pieces.number("month");
  const calendarMonths = [...new Set(month)].sort((a, b) => a - b);
  const placeOfMonth = new Map(calendarMonths.map((day, k) => [day, k]));
  const factors = {
    ground: levelsOf(pieces.text("ground")),
    age_band: levelsOf(pieces.text("age_band")),
    class: levelsOf(pieces.text("class")),
  };
  return {
    count: spans.length,
    animal: Int32Array.from(spans, (span) => span.animal),
    from: Int32Array.from(spans, (span) => span.from),
    to: Int32Array.from(spans, (span) => span.to),
    months: Float64Array.from(spans, (span) => (span.to - span.from) / 30),
    pieceStart,
    pieceMonths: pieces.number("days").map((days) => days / 30),
    piecePen: pens.of,
    pieceMonth: Int32Array.from(month, (day) => placeOfMonth.get(day)!),
    pieceLevel: { ground: factors.ground.of, age_band: factors.age_band.of, class: factors.class.of },
    pens: pens.levels,
    calendarMonths,
    levels: {
      ground: factors.ground.levels,
      age_band: factors.age_band.levels,
      class: factors.class.levels,
    },
  };
}

/** Levels in the order of their names, and each cell's place among them; −1 for a missing cell. */
function levelsOf(cells: readonly (string | null)[]): { levels: readonly string[]; of: Int32Array } {
  const levels = [...new Set(cells)].filter((cell) => cell !== null).sort();
  const place = new Map(levels.map((level, k) => [level, k]));
  return { levels, of: Int32Array.from(cells, (cell) => (cell === null ? -1 : place.get(cell)!)) };
}
