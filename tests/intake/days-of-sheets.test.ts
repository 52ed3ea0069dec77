import { describe, expect, it } from "vitest";
import { isoDay, parseIsoDay } from "../../src/records/days.ts";
import { contextOf, lines, type PlainReading, question, readPlain, sumsHold, tableOf } from "./table-of.ts";

const read = (text: string, context = contextOf()): PlainReading => {
  const reading = readPlain(tableOf(lines(text)), context);
  expect(sumsHold(reading)).toBe(true);
  return reading;
};
const asked = (text: string, context = contextOf()): string => question(tableOf(lines(text)), context).reason;

const daysOf = ({ records }: PlainReading, kind: "trims" | "gaits" | "lesions"): unknown[] =>
  (records[kind] ?? []).map(({ animal, date }) => [animal, isoDay(date as number)]);

describe("dates across that name no year", () => {
  const grid = (title: string, ...days: readonly string[]): string =>
    `${title === "" ? "" : `${title}||\n`}tag|${days.join("|")}\nA1|x|x\nA2||x`;

  it.each([
    ["the title", grid("Hoof trims 2024", "5 Mar", "16 Apr"), ["2024-03-05", "2024-04-16"]],
    [
      "the title, the month first",
      grid("Trims of 2024", "Mar 5th", "Apr 16th"),
      ["2024-03-05", "2024-04-16"],
    ],
    ["the title, in numbers", grid("Hoof trims 2024", "5/3", "16/4"), ["2024-03-05", "2024-04-16"]],
    ["the title, with dots", grid("Hoof trims 2024", "5.3.", "16.4."), ["2024-03-05", "2024-04-16"]],
    [
      "the title, in Spanish",
      grid("Recortes 2024", "5 de marzo", "16 de abril"),
      ["2024-03-05", "2024-04-16"],
    ],
  ])("take it from %s", (_, text, days) => {
    expect(daysOf(read(text), "trims")).toEqual([
      ["A1", days[0]],
      ["A1", days[1]],
      ["A2", days[1]],
    ]);
  });

  it("take it from a whole date beside them", () => {
    expect(daysOf(read("Hoof trims|||\ntag|5 Mar|20 Mar|16 Apr 2024\nA1|x|x|x"), "trims")).toEqual([
      ["A1", "2024-03-05"],
      ["A1", "2024-03-20"],
      ["A1", "2024-04-16"],
    ]);
  });

  it("are asked about where nothing names the year, or two years are named, or a year turns among them", () => {
    expect(asked(grid("Hoof trims", "5 Mar", "16 Apr"))).toBe("year_not_named");
    expect(asked(grid("Hoof trims 2023 and 2024", "5 Mar", "16 Apr"))).toBe("year_not_named");
    expect(asked(grid("Hoof trims 2024", "5 Nov", "16 Jan"))).toBe("year_not_named");
    expect(asked(grid("Hoof trims 2024", "5/3", "6/4"))).toBe("date_reads_both_ways");
  });

  it("keep the header of the sheet in what is set aside", () => {
    const { troubles } = read("Hoof trims 2024||\ntag|5 Mar|16 Apr\nA1|x|x\nA2|limped?|x\nA3|x|x");
    expect(troubles).toMatchObject([{ rowNo: 4, column: "5 Mar", value: "limped?" }]);
  });
});

describe("numbered trims across", () => {
  it("are a trim on the day of each cell", () => {
    const reading = read(`tag|pen|Trim 1|Trim 2|Trim 3
      A1|P1|2024-01-05|2024-03-01|
      A2|P2|2024-01-05||2024-05-11
      A3|P1|2024-02-30|soon|`);
    expect(
      reading.records.trims!.map(({ animal, pen, date, trimmed }) => [
        animal,
        pen,
        isoDay(date as number),
        trimmed,
      ]),
    ).toEqual([
      ["A1", "P1", "2024-01-05", true],
      ["A1", "P1", "2024-03-01", true],
      ["A2", "P2", "2024-01-05", true],
      ["A2", "P2", "2024-05-11", true],
    ]);
    expect(
      reading.troubles.map(({ rowNo, column, value, reason }) => [rowNo, column, value, reason]),
    ).toEqual([
      [4, "Trim 1", "2024-02-30", "no_such_day"],
      [4, "Trim 2", "soon", "not_a_date"],
    ]);
  });

  it("settle the order of day and month together", () => {
    expect(
      daysOf(read("Arete|Recorte 1|Fecha recorte 2\nA1|5/1/2024|4/3/2024\nA2|6/1/2024|25/3/2024"), "trims"),
    ).toEqual([
      ["A1", "2024-01-05"],
      ["A1", "2024-03-04"],
      ["A2", "2024-01-06"],
      ["A2", "2024-03-25"],
    ]);
    expect(asked("tag|1st trim|2nd trim\nA1|5/1/2024|4/3/2024")).toBe("date_reads_both_ways");
  });
});

describe("a day that only the title names", () => {
  const day = parseIsoDay("2024-03-05")!;

  it.each([
    ["Hoof trim, 5 March 2024", ""],
    ["Visit 2024-03-05", ""],
    ["2024-03-05", ""],
    ["Fecha: 5 de marzo de 2024", ""],
    ["Date:", "2024-03-05"],
  ])("is the day of every record: %s %s", (title, beside) => {
    const { records, understanding } = read(
      `${title}|${beside}|||\ntag|foot|toe before (mm)|toe after (mm)|note\nA1|LF|45|38|\nA2|RH|44|37|fine`,
    );
    expect(understanding.day).toBe(day);
    expect(records.trims!.map(({ animal, date, toe_after_mm }) => [animal, date, toe_after_mm])).toEqual([
      ["A1", day, 38],
      ["A2", day, 37],
    ]);
  });

  it("holds for scores and findings of the same sheet, and for a list of goats under a title of trims", () => {
    const both = read("Hoof scoring 2024-03-05||\ntag|gait (0-4)|lesion\nA1|1|scald\nA2|0|none");
    expect(daysOf(both, "gaits")).toEqual([
      ["A1", "2024-03-05"],
      ["A2", "2024-03-05"],
    ]);
    expect(daysOf(both, "lesions")).toHaveLength(2);
    expect(
      daysOf(read("Hoof trimming 2024-03-05|\ntag|remarks\nA1|fine\nA2|bled a little"), "trims"),
    ).toHaveLength(2);
  });

  it("is asked about where it reads both ways, and settled by the settings", () => {
    const text = "Hoof trim 3/5/2024|\ntag|toe after (mm)\nA1|38";
    expect(asked(text)).toBe("date_reads_both_ways");
    expect(read(text, contextOf({ set: { day_first: false } })).records.trims![0]!.date).toBe(day);
  });

  it.each([
    ["printed on a day", "Hoof trims, printed 2024-03-05"],
    ["exported on a day", "2024-03-05 export of trims"],
    ["of a span of days", "Trims from 2024-03-05 to 2024-06-01"],
    ["of two days", "Visits 2024-03-05 and 2024-04-02"],
    ["of a number", "45356"],
  ])("is not guessed from a title %s", (_, title) => {
    expect(asked(`${title}|\ntag|toe after (mm)\nA1|38`)).toMatch(/^missing_column\(trims,date\)/);
  });

  it("gives way to a date column", () => {
    const { records } = read("Hoof trim 2024-03-05||\ntag|date|toe after (mm)\nA1|2024-04-02|38");
    expect(isoDay(records.trims![0]!.date as number)).toBe("2024-04-02");
  });
});
