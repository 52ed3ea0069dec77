import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Book } from "../../src/book/book.ts";
import { takeIn } from "../../src/intake/take-in.ts";
import { parseIsoDay } from "../../src/records/days.ts";
import { openTestBook } from "./open-test-book.ts";
import { setAsideOf } from "./set-aside-of.ts";

interface Export {
  readonly what: string;
  /** The one sheet beside the animals, its name and its lines. */
  readonly sheet: readonly string[];
  /** What is set aside, as `row column: reason`; every other row of a record is taken. */
  readonly aside: readonly string[];
  readonly taken: number;
}

/** Sheets as people export them, one oddity each, with faults planted by hand; goats 101 to 105 and `GA-001`, a buck 110. */
const exports: readonly Export[] = [
  {
    what: "Spanish headers, semicolons, decimal commas",
    sheet: [
      "recortes.csv",
      "Arete;Fecha;Pata;Uña;Largo antes (mm);Largo después (mm);Recortada",
      "101;15/03/2024;DI;interna;45,5;38,2;sí",
      "102;15/03/2024;DD;externa;46,25;39;si",
      "103;32/03/2024;TI;interna;44;38;sí",
      "104;15/03/2024;TD;externa;1.045,5;38;sí",
    ],
    aside: ["4 trims Fecha: no_such_day", "5 trims Largo antes (mm): out_of_bounds(5,250)"],
    taken: 2,
  },
  {
    what: "years of two digits that read one way, and one that reads both",
    sheet: [
      "trims.csv",
      "Tag,Date,Foot,Claw,Toe before mm,Toe after mm",
      "101,5/13/24,LF,in,45,38",
      "102,3/4/24,LF,in,45,38",
      "103,13/5/24,LF,in,45,38",
    ],
    aside: ["3 trims Date: date_reads_both_ways"],
    taken: 2,
  },
  {
    what: "day numbers of a spreadsheet",
    sheet: [
      "trims.csv",
      "Ear tag,Date,Foot,Claw,Toe before (mm),Toe after (mm)",
      "101,45292,LF,inner,45,38",
      "102,45292.5,LF,inner,45,38",
      "103,4529,LF,inner,45,38",
    ],
    aside: ["4 trims Date: not_a_date"],
    taken: 2,
  },
  {
    what: "scores of every foot in one row",
    sheet: [
      "scores.csv",
      "Goat,Date,LF gait (0-4),RF gait (0-4),LH gait (0-4),RH gait (0-4)",
      "101,2024-03-05,0,0,2,0",
      "102,2024-03-05,0,7,0,0",
    ],
    aside: ["3 gaits RF gait (0-4): off_the_scale(0-4)"],
    taken: 7,
  },
  {
    what: "inches in sixteenths, and millimetres in a column of inches",
    sheet: [
      "trims.csv",
      "Goat,Date,Foot,Claw,Toe before (in),Toe after (in)",
      '101,2024-03-05,LF,inner,"2 3/16""","1 3/4"""',
      '102,2024-03-05,LF,inner,1-3/4",1 1/2"',
      '103,2024-03-05,LF,inner,1 5/0",1 1/2"',
      "104,2024-03-05,RF,inner,45,38",
    ],
    aside: ["4 trims Toe before (in): not_a_number", "5 trims Toe after (in): out_of_bounds(5,250)"],
    taken: 2,
  },
  {
    what: "units in the cells, mixed",
    sheet: [
      "trims.csv",
      "Goat,Date,Foot,Claw,Toe before,Toe after",
      "101,2024-03-05,LF,inner,45 mm,38 mm",
      "102,2024-03-05,LF,inner,4.5 cm,3.8cm",
      "103,2024-03-05,LF,inner,1 3/4 in,1 1/2 in",
      "104,2024-03-05,RF,inner,45,38",
      "105,2024-03-05,RF,inner,45 lb,38",
    ],
    aside: ["6 trims Toe before: unknown_unit(lb)"],
    taken: 4,
  },
  {
    what: "tags with spaces behind, in small letters, without their dash, in powers of ten",
    sheet: [
      "trims.csv",
      "animal,date,foot,claw,toe_before_mm,toe_after_mm",
      "GA-001 ,2024-03-05,LF,inner,45,38",
      "ga-001,2024-03-05,LF,outer,45,38",
      "GA001,2024-03-05,RF,inner,45,38",
      "9.82E+14,2024-03-05,LF,inner,45,38",
    ],
    aside: [
      "3 trims animal: tag_unknown(GA-001)",
      "4 trims animal: tag_unknown(GA-001)",
      "5 trims animal: digits_lost",
    ],
    taken: 1,
  },
  {
    what: "a title, the header again, a row twice, two that disagree, totals",
    sheet: [
      "trims.csv",
      "Hoof trimming log 2024,,,,,",
      "animal,date,foot,claw,toe before mm,toe after mm",
      "101,2024-03-05,LF,inner,45,38",
      "101,2024-03-05,LF,inner,45,38",
      "102,2024-03-05,LF,inner,46,38",
      "102,2024-03-05,LF,inner,47,38",
      "animal,date,foot,claw,toe before mm,toe after mm",
      "103,2024-03-05,LF,inner,44,38",
      "Total,,,,182,152",
      "Average,,,,45.4,38",
    ],
    aside: ["5 trims -: rows_disagree(6)", "6 trims -: rows_disagree(5)"],
    taken: 2,
  },
  {
    what: "rows for groups among rows of animals",
    sheet: [
      "trims.csv",
      "animal,date,trimmed",
      "101-105,2024-03-05,yes",
      "all,2024-06-05,yes",
      "101,2024-09-05,yes",
      '"102, 103",2024-09-05,yes',
    ],
    aside: [
      "2 trims animal: group_of_animals(5)",
      "3 trims animal: group_of_animals(7)",
      "5 trims animal: group_of_animals(2)",
    ],
    taken: 1,
  },
  {
    what: "grams a kilogram under a header of per cent, a share of one, a period that ends before it starts",
    sheet: [
      "rations.csv",
      "pen,from,to,crude protein (%),copper (ppm)",
      "P1,2024-01-01,2024-03-01,16,12",
      "P1,2024-03-01,2024-02-01,15,12",
      "P2,2024-01-01,2024-03-01,160,12",
      "P2,2024-03-01,2024-04-01,0.16,12",
    ],
    aside: [
      "3 rations to: ends_before_it_starts",
      "4 rations crude protein (%): out_of_bounds(2,100)",
      "5 rations crude protein (%): out_of_bounds(2,100)",
    ],
    taken: 1,
  },
  {
    what: "lowest and highest temperature in each other's place",
    sheet: [
      "weather.csv",
      "date,rain (in),low (°F),high (°F)",
      "2024-03-05,0.5,35,61",
      "2024-03-06,0.1,61,35",
    ],
    aside: ["3 weather tmin_c: coldest_above_warmest"],
    taken: 1,
  },
  {
    what: "a withdrawal that ends before the treatment",
    sheet: [
      "treatments.csv",
      "animal,date,treatment,withdrawal_milk_until",
      "101,2024-03-05,spray,2024-03-01",
      "102,2024-03-05,spray,2024-03-12",
    ],
    aside: ["2 treatments withdrawal_milk_until: ends_before_it_starts"],
    taken: 1,
  },
  {
    what: "a buck that kids, and a doe at two months",
    sheet: [
      "kiddings.csv",
      "dam,date,kids,alive",
      "101,2023-03-01,2,2",
      "110,2023-03-01,1,1",
      "102,2020-05-01,1,1",
    ],
    aside: ["3 kiddings animal: parent_of_wrong_sex(110,dam)", "4 kiddings animal: parent_too_young(102)"],
    taken: 1,
  },
  {
    what: "rounds whose column says in other words that the rest were sound",
    sheet: [
      "rounds.csv",
      "date,pen,gait_scale,everyone else sound?",
      "2024-03-05,P1,0-4,yes",
      "2024-04-05,P1,0-4,no",
      "2024-05-05,P1,0-4,most",
    ],
    aside: ["4 rounds everyone else sound?: not_yes_or_no"],
    taken: 2,
  },
  {
    what: "rounds whose remark says that the rest were sound: asked, not counted",
    sheet: [
      "rounds.csv",
      "date,pen,looked_at,lame,gait_scale,note",
      "2024-03-05,P1,30,2,0-4,all others sound",
      "2024-04-05,P1,30,2,0-4,two goats coughing",
      "2024-05-05,P1,30,2,0-4,las demás caminaban bien",
    ],
    aside: ["2 rounds note: others_sound_in_words (cell)", "4 rounds note: others_sound_in_words (cell)"],
    taken: 3,
  },
  {
    what: "scores of the lame alone, with a row for the rest",
    sheet: [
      "gaits.csv",
      "Only the lame are written down,,,",
      "animal,date,gait,gait_scale",
      "101,2024-03-05,2,0-4",
      "rest,2024-03-05,0,0-4",
      "102,2024-04-05,3,0-4",
      "all,2024-04-06,0,0-4",
    ],
    aside: ["4 gaits animal: others_sound_in_words", "6 gaits animal: group_of_animals(7)"],
    taken: 2,
  },
];

const animals = [
  "animal,sex,born,entered",
  ...["101", "102", "103", "104", "105", "GA-001"].map((tag) => `${tag},female,2020-03-01,2020-03-01`),
  "110,male,2020-03-01,2020-03-01",
].join("\n");

describe("exports as people make them", () => {
  let book: Book;
  let aside: readonly string[] = [];
  const folderOf = (at: number): string => `flock-${String(at).padStart(2, "0")}`;
  beforeAll(async () => {
    book = await openTestBook();
    const report = await takeIn(
      book,
      {
        settings: exports.map((_, at) => ({ folder: folderOf(at), text: "" })),
        files: exports.flatMap(({ sheet: [name, ...lines] }, at) =>
          [
            ["animals.csv", animals],
            [name, lines.join("\n")],
          ].map(([file, text]) => ({
            path: `${folderOf(at)}/${file}`,
            bytes: new TextEncoder().encode(text),
          })),
        ),
      },
      { now: parseIsoDay("2026-03-15")!, version: "test", verb: "run", replace: true },
    );
    expect(report).not.toHaveProperty("troubles");
    aside = await setAsideOf(book);
  });
  afterAll(() => book.close());

  test.each(exports.map((one, at) => [one.what, one, at] as const))("%s", async (_, one, at) => {
    const path = `${folderOf(at)}/${one.sheet[0]}`;
    const own = aside.filter((line) => line.startsWith(`${folderOf(at)}/`));
    expect(own).toEqual(one.aside.map((line) => `${path} ${line}`));
    const [sum] = await book.rows<{ taken: number }>(
      "SELECT CAST(sum(taken) AS INTEGER) AS taken FROM intake.record_sum JOIN intake.source USING (source_id) WHERE file = ?",
      [path],
    );
    expect(sum?.taken).toBe(one.taken);
  });
});
