import { describe, expect, it } from "vitest";
import type { CellRead } from "../../src/intake/cell-read.ts";
import { readAge } from "../../src/intake/read-age.ts";
import { readBorn } from "../../src/intake/read-born.ts";
import { choiceReader } from "../../src/intake/read-choice.ts";
import { readClaw } from "../../src/intake/read-claw.ts";
import { readFlag } from "../../src/intake/read-flag.ts";
import { readFoot } from "../../src/intake/read-foot.ts";
import { readParents } from "../../src/intake/read-parents.ts";
import { readStage } from "../../src/intake/read-stage.ts";
import { readTag, readTags } from "../../src/intake/read-tag.ts";
import { isoDay } from "../../src/records/days.ts";
import { columnOf } from "../../src/records/kinds.ts";

const said = <T>(read: CellRead<T>): T | string => ("trouble" in read ? read.trouble : read.value);

describe("readFlag", () => {
  it.each(["Y", "yes", "x", "X", "ja", "sí", "Si", "1", "TRUE", "✓"])("reads %s as yes", (text) => {
    expect(said(readFlag(text))).toBe(true);
  });
  it.each(["N", "no", "0", "False", "nein"])("reads %s as no", (text) => {
    expect(said(readFlag(text))).toBe(false);
  });
  it("refuses anything else", () => {
    expect(said(readFlag("maybe"))).toBe("not_yes_or_no");
  });
});

describe("readFoot", () => {
  it.each([
    ["LF", "LF"],
    ["lf.", "LF"],
    ["L.F.", "LF"],
    ["L/F", "LF"],
    ["FL", "LF"],
    ["left front", "LF"],
    ["Front Left hoof", "LF"],
    ["near fore", "LF"],
    ["delantera izquierda", "LF"],
    ["mano izq.", "LF"],
    ["RF", "RF"],
    ["FR", "RF"],
    ["off fore", "RF"],
    ["delantera derecha", "RF"],
    ["LH", "LH"],
    ["LR", "LH"],
    ["left back", "LH"],
    ["rear left", "LH"],
    ["trasera izquierda", "LH"],
    ["RH", "RH"],
    ["RR", "RH"],
    ["right hind foot", "RH"],
    ["posterior derecha", "RH"],
    ["TD", "RH"],
  ])("reads %s", (text, foot) => {
    expect(said(readFoot(text))).toEqual({ foot, claw: null });
  });
  it("reads the claw beside it", () => {
    expect(said(readFoot("LF inner"))).toEqual({ foot: "LF", claw: "inner" });
    expect(said(readFoot("rho"))).toEqual({ foot: "RH", claw: "outer" });
  });
  it.each(["front", "left", "all four", "LF RF", "tail", "3"])("refuses %s", (text) => {
    expect(said(readFoot(text))).toBe("unknown_foot");
  });
});

describe("readClaw", () => {
  it.each([
    ["inner", "inner"],
    ["In", "inner"],
    ["medial", "inner"],
    ["interno", "inner"],
    ["OUT", "outer"],
    ["lateral", "outer"],
    ["outer claw", "outer"],
    ["externa", "outer"],
  ])("reads %s", (text, claw) => {
    expect(said(readClaw(text))).toBe(claw);
  });
  it("refuses numbered claws", () => {
    expect(said(readClaw("2"))).toBe("unknown_claw");
  });
});

describe("readStage", () => {
  it.each([
    ["2", "2"],
    ["1 of 3", "1 of 3"],
    ["1/3", "1 of 3"],
    ["3 de 3", "3 of 3"],
    ["done", "done"],
    ["hecho", "done"],
    ["1", "1"],
    ["12", "12"],
    ["stage 2", "2"],
    ["paso 10 de 12", "10 of 12"],
  ])("reads %s", (text, stage) => {
    expect(said(readStage(text))).toBe(stage);
  });
  it.each(["0", "0 of 3", "4 of 3", "half", "about 2", "123", "1 of 3 of 4", "last stage 2"])(
    "refuses %s",
    (text) => {
      expect(said(readStage(text))).toBe("not_a_stage");
    },
  );
});

describe("readBorn", () => {
  const between = (text: string): string => {
    const read = readBorn(text, "day_first");
    return "trouble" in read ? read.trouble : `${isoDay(read.value.earliest)} ${isoDay(read.value.latest)}`;
  };
  it.each([
    ["2019-03-09", "2019-03-09 2019-03-09"],
    ["9/3/2019", "2019-03-09 2019-03-09"],
    ["2019-02", "2019-02-01 2019-02-28"],
    ["03/2019", "2019-03-01 2019-03-31"],
    ["Feb 2020", "2020-02-01 2020-02-29"],
    ["marzo de 2019", "2019-03-01 2019-03-31"],
    ["2019", "2019-01-01 2019-12-31"],
    ["2018-2020", "2018-01-01 2020-12-31"],
    ["2018 to 2020", "2018-01-01 2020-12-31"],
    ["Mar 2019 - May 2019", "2019-03-01 2019-05-31"],
    ["~2019", "2018-01-01 2020-12-31"],
    ["about 2019", "2018-01-01 2020-12-31"],
    ["2019?", "2018-01-01 2020-12-31"],
  ])("reads %s", (text, days) => {
    expect(between(text)).toBe(days);
  });
  it.each([
    ["2020-2018", "ends_before_it_starts"],
    ["spring", "not_a_date"],
    ["2019-13", "no_such_day"],
  ])("refuses %s", (text, reason) => {
    expect(between(text)).toBe(reason);
  });
});

describe("readAge", () => {
  // 365.2425 days is the mean Gregorian year
  it.each([
    ["2 years", 730.485],
    ["2 años", 730.485],
    ["6 months", 182.62125],
    ["8 meses", 243.495],
    ["1 1/2 yr", 547.86375],
    ["3 weeks", 21],
    ["10 d", 10],
    ["1y 6m", 547.86375],
    ["2 years and 3 months", 821.795625],
    ["2y, 3w", 751.485],
    [" 2 years old ", 730.485],
    ["0 days", 0],
  ])("reads %s", (text, days) => {
    expect(said(readAge(text, null, null))).toBeCloseTo(days, 9);
  });
  it("needs a unit, in the cell or the header", () => {
    expect(said(readAge("8", null, null))).toBe("unit_not_named");
    expect(said(readAge("8", "week", null))).toBe(56);
    for (const text of ["old", "", " ", "-2 years", "3 furlongs"])
      expect(said(readAge(text, null, null))).toBe("not_an_age");
    // a unit in the cell goes before that of the header
    expect(said(readAge("8 d", "week", null))).toBe(8);
  });
});

describe("readTag", () => {
  it("keeps a tag letter for letter", () => {
    const near = ["T9.82E+14", "9.82E+14b", "9.8", "9822748779069440", "X982274877906944"];
    for (const tag of ["007", "G-12", "uk 123/4", "12E3", "NA", "12-20", ...near]) {
      expect(said(readTag(` ${tag} `))).toBe(tag);
    }
  });
  it("refuses a number that lost its digits", () => {
    for (const text of ["9.82E+14", "9,82E+14", "9.82e14", "1E+15"])
      expect(said(readTag(text))).toBe("digits_lost");
  });
  // ISO 11784: 38 bits of national number, so at most 274877906943
  it("takes 15 digits only where a transponder can hold them", () => {
    expect(said(readTag("982274877906943"))).toBe("982274877906943");
    expect(said(readTag("982274877906944"))).toBe("not_an_electronic_number");
    expect(said(readTag("001000000000001"))).toBe("001000000000001");
    expect(said(readTag("000000123456789"))).toBe("not_an_electronic_number");
  });
  it("keeps several tags apart", () => {
    expect(said(readTags("A1, A2;A3"))).toBe("A1; A2; A3");
    expect(said(readTags("A1, , UK/2 / A3\nA4"))).toBe("A1; UK/2; A3; A4");
    expect(said(readTags("A1; 9.82E+14"))).toBe("digits_lost");
  });
});

describe("readParents", () => {
  const known = new Set(["B1", "B2", "UK/7"]);
  it.each([
    ["B1", "B1"],
    ["B1 / B2", "B1 / B2"],
    ["B1 or B2", "B1 / B2"],
    ["B1/B2", "B1 / B2"],
    ["UK/7", "UK/7"],
    ["UK/8", "UK/8"],
    ["B1 70% / B2 30%", "B1 70% / B2 30%"],
    ["B1 (70%) / B2", "B1 70% / B2 30%"],
    ["B1 (0.7) / B2 (0.3)", "B1 70% / B2 30%"],
    [" B1 ", "B1"],
    ["B1 100%", "B1"],
    ["B1;B2 ; B3", "B1 / B2 / B3"],
    ["B1:70% / B2: 30 %", "B1 70% / B2 30%"],
    ["B1 @ 0,7 / B2 @.3", "B1 70% / B2 30%"],
    ["B1 33.25% / B2 66,75%", "B1 33.25% / B2 66.75%"],
    ["B1 70%/B2 (30.0 %)", "B1 70% / B2 30%"],
    // by hand: the two without a share have (100 − 40) / 2 each
    ["B1 / B2 / B3 40%", "B1 30% / B2 30% / B3 40%"],
    ["B1/X9", "B1/X9"],
    ["?", null],
    ["unknown", null],
  ])("reads %s", (text, kept) => {
    expect(said(readParents(text, known))).toBe(kept);
  });
  it("refuses shares that do not add up", () => {
    expect(said(readParents("B1 70% / B2 40%", known))).toBe("shares_do_not_add");
    expect(said(readParents("B1 30% / B2 40%", known))).toBe("shares_do_not_add");
    expect(said(readParents("B1 50%", known))).toBe("shares_do_not_add");
  });
  it("parts no stroke where no animal is known, and refuses a tag that lost its digits", () => {
    expect(said(readParents("B1/B2", null))).toBe("B1/B2");
    expect(said(readParents("B1 / 9.82E+14", known))).toBe("digits_lost");
  });
});

describe("choiceReader", () => {
  const sex = choiceReader(columnOf("animals", "sex"));
  const wetness = choiceReader(columnOf("ground", "wetness"));
  it("reads values and the words for them", () => {
    expect(said(sex("Doe"))).toBe("female");
    expect(said(sex("capón"))).toBe("wether");
    expect(said(wetness("2"))).toBe("2");
    expect(said(wetness("2.0"))).toBe("2");
    expect(said(wetness(" 2,00 "))).toBe("2");
    expect(said(wetness("2.05"))).toMatch(/^unknown_word/);
    expect(said(wetness("Standing mud"))).toBe("3");
  });
  it("names the nearest word of one it does not know, and never takes it", () => {
    expect(said(sex("femael"))).toBe("unknown_word(sex,female)");
  });
});
