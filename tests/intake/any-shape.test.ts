import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { foldHeader } from "../../src/intake/fold.ts";
import { lookUp } from "../../src/intake/header-words.ts";
import { kindTraits } from "../../src/intake/kind-traits.ts";
import { calendarDay, dayNumber, isoDay } from "../../src/records/days.ts";
import type { Column } from "../../src/records/kind.ts";
import { type KindId, kindIds, kinds } from "../../src/records/kinds.ts";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import { contextOf, type PlainRecord, readPlain, sumsHold } from "./table-of.ts";

/** How a keeper writes: delimiter, decimal mark, order of the day, unit of length. */
interface Hand {
  readonly delimiter: string;
  readonly mark: "." | ",";
  readonly days: "iso" | "day_first" | "month_first" | "en" | "es" | "dots";
  readonly length: "mm" | "cm" | "in" | "fraction";
}

const hands: fc.Arbitrary<Hand> = fc.record({
  delimiter: fc.constantFrom(",", ";", "\t", "|"),
  mark: fc.constantFrom(".", ","),
  days: fc.constantFrom("iso", "day_first", "month_first", "en", "es", "dots"),
  length: fc.constantFrom("mm", "cm", "in", "fraction"),
});

const english = "January February March April May June July August September October November December".split(
  " ",
);
const spanish = "ene feb mar abr may jun jul ago sept oct nov dic".split(" ");

function writeDay(day: number, hand: Hand): string {
  const { year, month, day: of } = calendarDay(day);
  switch (hand.days) {
    case "iso":
      return isoDay(day);
    case "day_first":
      return `${of}/${month}/${year}`;
    case "month_first":
      return `${month}/${of}/${year}`;
    case "dots":
      return `${of}.${month}.${year}`;
    case "en":
      return `${english[month - 1]} ${of}, ${year}`;
    case "es":
      return `${of} ${spanish[month - 1]} ${year}`;
  }
}

function writeNumber(value: number, hand: Hand): string {
  return String(value).replace(".", hand.mark);
}

/** Sixteenths of an inch, so that every unit writes the same length to the last digit that is kept. */
function writeLength(sixteenths: number, hand: Hand): string {
  const inches = sixteenths / 16;
  if (hand.length === "in") return writeNumber(inches, hand);
  if (hand.length === "mm") return writeNumber(Math.round(inches * 25.4 * 1e6) / 1e6, hand);
  if (hand.length === "cm") return writeNumber(Math.round(inches * 2.54 * 1e7) / 1e7, hand);
  const whole = Math.floor(inches);
  const top = sixteenths % 16;
  return top === 0 ? `${whole}"` : `${whole === 0 ? "" : `${whole} `}${top}/16"`;
}

const unitWord = { mm: "(mm)", cm: "(cm)", in: "(in)", fraction: "(in)" } as const;

function tableFrom(
  rows: readonly (readonly string[])[],
  delimiter: string,
): ReturnType<typeof readSheets>["tables"][0] {
  const quoted = (cell: string): string =>
    cell.includes(delimiter) || cell.includes('"') ? `"${cell.replaceAll('"', '""')}"` : cell;
  const text = rows.map((row) => row.map(quoted).join(delimiter)).join("\r\n");
  const { tables, troubles } = readSheets("sheet.csv", new TextEncoder().encode(`${text}\r\n`));
  expect(troubles).toEqual([]);
  return tables[0]!;
}

const anyDay = fc.integer({ min: dayNumber(2015, 1, 1)!, max: dayNumber(2025, 12, 31)! });
/** A day that settles the order of day and month. */
const tellingDay = dayNumber(2020, 3, 25)!;

interface ClawVisit {
  readonly animal: string;
  readonly date: number;
  readonly lengths: Readonly<Record<string, readonly [number | null, number | null]>>;
  readonly note: string;
}

const places = ["LF", "RF", "LH", "RH"].flatMap((foot) =>
  ["inner", "outer"].map((claw) => `${foot} ${claw}`),
);
const sixteenths = fc.option(fc.integer({ min: 16, max: 60 }), { freq: 4 });

const visits: fc.Arbitrary<ClawVisit> = fc.record({
  animal: fc.constantFrom("007", "G-12", "ES 44", "b/3", "12-20"),
  date: anyDay,
  lengths: fc.record(Object.fromEntries(places.map((place) => [place, fc.tuple(sixteenths, sixteenths)]))),
  note: fc.constantFrom("", "ok", "new pen; calm", 'says "fine"', "uno, dos"),
});

const footWords: Readonly<Record<string, readonly string[]>> = {
  LF: ["LF", "left front", "FL", "delantera izquierda", "l.f."],
  RF: ["RF", "right front", "front right", "delantera derecha"],
  LH: ["LH", "left hind", "LR", "trasera izquierda"],
  RH: ["RH", "hind right", "RR", "trasera derecha"],
};
const clawWords: Readonly<Record<string, readonly string[]>> = {
  inner: ["inner", "medial", "interno"],
  outer: ["outer", "out", "externo"],
};
const headerWords = {
  animal: ["tag", "Ear tag", "arete", "Animal ID", "CABRA"],
  date: ["date", "Trim date", "fecha", "Fecha de recorte", "date of visit"],
  foot: ["foot", "Leg", "pata"],
  claw: ["claw", "which claw", "dedo"],
  before: ["before", "toe before", "Length before", "largo antes", "antes"],
  after: ["after", "toe after", "después", "largo después"],
  note: ["note", "Remarks", "observaciones"],
} as const;

type Pick = <T>(from: readonly T[]) => T;

/** What the visits are as claw records, in the order in which rows and places give them. */
function expected(all: readonly ClawVisit[]): PlainRecord[] {
  const mm = (value: number | null): number | null => (value === null ? null : (value / 16) * 25.4);
  return all.flatMap(({ animal, date, lengths, note }) =>
    places.flatMap((place) => {
      const [before, after] = lengths[place]!;
      if (before === null && after === null) return [];
      const [foot, claw] = place.split(" ") as [string, string];
      return [
        {
          animal,
          date,
          foot,
          claw,
          before: mm(before),
          after: mm(after),
          trimmed: after !== null ? true : null,
          note: note || null,
        },
      ];
    }),
  );
}

function found(records: readonly PlainRecord[] | undefined): PlainRecord[] {
  const round = (value: PlainRecord[string] | undefined): number | null =>
    typeof value === "number" ? Math.round(value * 1e4) / 1e4 : null;
  return (records ?? []).map((one) => ({
    animal: one.animal!,
    date: one.date!,
    foot: one.foot!,
    claw: one.claw!,
    before: round(one.toe_before_mm),
    after: round(one.toe_after_mm),
    trimmed: one.trimmed!,
    note: one.note ?? null,
  }));
}

const inOrder = (records: readonly PlainRecord[]): string[] =>
  records.map((one) => JSON.stringify(one)).sort();

describe("claw records in any shape", () => {
  const settling: ClawVisit = {
    animal: "007",
    date: tellingDay,
    lengths: Object.fromEntries(places.map((place) => [place, [25, 20] as const])),
    note: "",
  };

  it("are read back from a wide sheet", () => {
    fc.assert(
      fc.property(
        fc.array(visits, { maxLength: 8 }),
        hands,
        fc.infiniteStream(fc.nat()),
        (some, hand, nats) => {
          const pick: Pick = (from) => from[nats.next().value! % from.length]!;
          const all = [settling, ...some];
          const order = [...places].sort(() => pick([-1, 1]));
          const titles = pick([[], [["Elm farm hoof log"]], [["Elm farm"], [""], ["2020"]]]);
          const unit = unitWord[hand.length];
          const shapes = [
            (foot: string, claw: string, when: string) => `${foot} ${claw} ${when} ${unit}`,
            (foot: string, claw: string, when: string) => `${when} ${foot} ${claw} ${unit}`,
            (foot: string, claw: string, when: string) => `${claw} ${foot}, ${when} ${unit}`,
          ];
          const shape = pick(shapes);
          const header = [
            pick(headerWords.animal),
            pick(headerWords.date),
            ...order.flatMap((place) => {
              const [foot, claw] = place.split(" ") as [string, string];
              const [footWord, clawWord] = [pick(footWords[foot]!), pick(clawWords[claw]!)];
              return [
                shape(footWord, clawWord, pick(["before", "antes", "pre"])),
                shape(footWord, clawWord, pick(["after", "después", "toe after"])),
              ];
            }),
            pick(headerWords.note),
          ];
          const cell = (value: number | null): string => (value === null ? "" : writeLength(value, hand));
          const rows = all.map(({ animal, date, lengths, note }) => [
            animal,
            writeDay(date, hand),
            ...order.flatMap((place) => lengths[place]!.map(cell)),
            note,
          ]);
          const reading = readPlain(tableFrom([...titles, header, ...rows], hand.delimiter));
          expect(reading.understanding.layout).toBe("wide");
          expect(inOrder(found(reading.records.trims))).toEqual(inOrder(rounded(expected(all))));
          expect(sumsHold(reading)).toBe(true);
        },
      ),
      { numRuns: 25 },
    );
  });

  it("are read back from a long sheet", () => {
    fc.assert(
      fc.property(
        fc.array(visits, { maxLength: 8 }),
        hands,
        fc.infiniteStream(fc.nat()),
        (some, hand, nats) => {
          const pick: Pick = (from) => from[nats.next().value! % from.length]!;
          const all = [settling, ...some];
          const inHeader = hand.length === "fraction" || pick([true, false]);
          const unit = inHeader ? ` ${unitWord[hand.length]}` : "";
          const behind = inHeader ? "" : pick(["", " "]) + hand.length;
          const columns = [
            ["animal", pick(headerWords.animal)],
            ["date", pick(headerWords.date)],
            ["foot", pick(headerWords.foot)],
            ["claw", pick(headerWords.claw)],
            ["before", pick(headerWords.before) + unit],
            ["after", pick(headerWords.after) + unit],
            ["note", pick(headerWords.note)],
          ].sort(() => pick([-1, 1]));
          const written = expected(all).map((one) => {
            const length = (value: PlainRecord[string] | undefined): string =>
              typeof value === "number" ? writeLength(Math.round((value / 25.4) * 16), hand) + behind : "";
            const cells: Readonly<Record<string, string>> = {
              animal: String(one.animal),
              date: writeDay(one.date as number, hand),
              foot: pick(footWords[String(one.foot)]!),
              claw: pick(clawWords[String(one.claw)]!),
              before: length(one.before),
              after: length(one.after),
              note: String(one.note ?? ""),
            };
            return columns.map(([name]) => cells[name!]!);
          });
          const table = tableFrom([columns.map(([, header]) => header!), ...written], hand.delimiter);
          const reading = readPlain(table);
          expect(inOrder(found(reading.records.trims))).toEqual(inOrder(rounded(expected(all))));
          expect(sumsHold(reading)).toBe(true);
        },
      ),
      { numRuns: 25 },
    );
  });
});

function rounded(records: readonly PlainRecord[]): PlainRecord[] {
  const round = (value: PlainRecord[string]): PlainRecord[string] =>
    typeof value === "number" ? Math.round(value * 1e4) / 1e4 : value;
  return records.map((one) => ({ ...one, before: round(one.before!), after: round(one.after!) }));
}

describe("every kind", () => {
  /** A cell of each type, and what it is stored as; days in a form that needs no order. */
  const cellOf = (
    column: Column,
  ): { readonly text: string; readonly stored: Readonly<Record<string, unknown>> } => {
    const { name } = column;
    switch (column.type) {
      case "day":
        return { text: "2024-03-25", stored: { [name]: dayNumber(2024, 3, 25) } };
      case "born":
        return {
          text: "2019",
          stored: { born_earliest: dayNumber(2019, 1, 1), born_latest: dayNumber(2019, 12, 31) },
        };
      case "age":
        return { text: "3 weeks", stored: { [`${name}_days`]: 21 } };
      case "flag":
        return { text: "sí", stored: { [name]: true } };
      case "choice": {
        const [choice] = column.choices!;
        return { text: choice!.words.es[0]!, stored: { [name]: choice!.value } };
      }
      case "number": {
        const value = name === "gait" ? 2 : Math.max(column.bounds?.least ?? 0, 10);
        return {
          text: String(Math.min(value, column.bounds?.most ?? 10)),
          stored: { [name]: Math.min(value, column.bounds?.most ?? 10) },
        };
      }
      case "integer":
        return { text: "1", stored: { [name]: 1 } };
      case "foot":
        return { text: "left front", stored: { [name]: "LF" } };
      case "claw":
        return { text: "interno", stored: { [name]: "inner" } };
      case "stage":
        return { text: "1 de 3", stored: { [name]: "1 of 3" } };
      case "lesions":
        return { text: "gabarro", stored: { [name]: "footrot" } };
      case "gait_scale":
        return { text: "1 to 5", stored: { [name]: "1-5" } };
      default:
        return { text: `${name} 7`, stored: { [name]: `${name} 7` } };
    }
  };

  /** Words that name this column and no other of the kind. */
  const ownWords = (kind: KindId, column: Column): readonly string[] =>
    [...column.headers.en, ...column.headers.es].filter((word) => {
      const meant = lookUp(kind, foldHeader(word));
      return meant.length === 1 && meant[0]!.column.name === column.name;
    });

  const unitOf: Readonly<Record<string, string>> = {
    length: "mm",
    share: "%",
    traceMineral: "ppm",
    gramsPerDay: "g",
    kilogramsPerDay: "kg",
    temperature: "°C",
    rain: "mm",
    wind: "m/s",
    sunshineEnergy: "MJ/m2",
    area: "m2",
    plainPercent: "%",
  };

  it.each(kindIds)("is read from any of its header words: %s", (kind) => {
    const columns: readonly Column[] = kinds[kind].columns;
    fc.assert(
      fc.property(fc.infiniteStream(fc.nat()), fc.constantFrom(",", ";", "\t"), (nats, delimiter) => {
        const pick: Pick = (from) => from[nats.next().value! % from.length]!;
        const { records } = kindTraits[kind];
        // a row must record something, and a study arm belongs to a pen or an animal
        const needed = pick(records.length > 0 ? records : [kind === "trial" ? "pen" : columns[0]!.name]);
        const chosen = columns
          .filter((column) => column.required || column.name === needed || pick([true, true, false]))
          .sort(() => pick([-1, 1]));
        const headers = chosen.map((column) => {
          const words = ownWords(kind, column);
          const word = words.length === 0 ? column.name : pick([column.name, ...words]);
          const named = word === column.name || column.quantity === undefined;
          return named ? word : `${word} (${unitOf[column.quantity!]})`;
        });
        const table = tableFrom([headers, chosen.map((column) => cellOf(column).text)], delimiter);
        const context = contextOf({
          set: { kinds: { "sheet.csv": kind }, gait_scale: "1-5", sheet_is_animal: true },
        });
        const reading = readPlain(table, context);
        expect(reading.troubles).toEqual([]);
        expect(reading.records[kind]).toHaveLength(1);
        expect(reading.records[kind]![0]).toMatchObject(
          Object.assign({}, ...chosen.map((column) => cellOf(column).stored)),
        );
      }),
      { numRuns: 20 },
    );
  });
});
