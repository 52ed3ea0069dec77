import { describe, expect, test } from "vitest";
import { dayInWords, dayShort, monthInWords, seasonInWords } from "../../src/report/dates.ts";
import { day } from "./season-fixture.ts";

describe("dates", () => {
  test("months stand in words", () => {
    expect(dayInWords(day("2024-03-09"), "en")).toBe("9 March 2024");
    expect(dayInWords(day("2024-03-09"), "es")).toBe("9 de marzo de 2024");
    expect(monthInWords(day("2023-12-31"), "en")).toBe("December 2023");
    expect(monthInWords(day("2023-12-31"), "es")).toBe("diciembre de 2023");
  });

  test("short dates name the year where asked to", () => {
    expect(dayShort(day("2024-02-29"), "en")).toBe("29 Feb");
    expect(dayShort(day("2024-02-29"), "es", true)).toBe("29 feb 2024");
  });

  test("seasons are named in the reader's language; a keeper's own names stay", () => {
    expect(seasonInWords("2024-spring", "en")).toBe("spring 2024");
    expect(seasonInWords("2024-autumn", "es")).toBe("otoño 2024");
    expect(seasonInWords("2024-after-weaning", "es")).toBe("after weaning 2024");
    expect(seasonInWords("all", "en")).toBe("all seasons");
  });
});
