import { describe, expect, test } from "vitest";
import { builtInNumberFormat, parseNumberFormat } from "../../src/sheets/number-format.ts";
import { numberText, percentText } from "../../src/sheets/number-text.ts";

test.each([
  // ECMA-376 part 1, 18.8.30: the formats that are known by number alone (from memory).
  [0, "number"],
  [1, "number"],
  [4, "number"],
  [9, "percent"],
  [10, "percent"],
  [11, "number"],
  [13, "number"],
  [14, "date"],
  [17, "date"],
  [18, "time"],
  [21, "time"],
  [22, "date"],
  [37, "number"],
  [45, "time"],
  [46, "duration"],
  [47, "time"],
  [48, "number"],
  [49, "number"],
] as const)("built-in format %d is a %s", (id, meaning) => {
  expect(builtInNumberFormat(id).meaning).toBe(meaning);
});

test.each([
  ["General", "number", ""],
  ['General" mm"', "number", "mm"],
  ["0.00", "number", ""],
  ["0.00E+00", "number", ""],
  ["#,##0;[Red]-#,##0", "number", ""],
  ["# ?/?", "number", ""],
  ['# ?/?"″"', "number", "″"],
  ["#,##0.00 [$€-407]", "number", ""],
  ["_-* #,##0_d_-", "number", ""],
  ["[>=100]0;0.0", "number", ""],
  ["@", "number", ""],
  ["0.0%", "percent", ""],
  ['0"%"', "number", "%"],
  ["0\\ \\k\\g", "number", "kg"],
  ["yyyy-mm-dd", "date", ""],
  ["d/m/yy;@", "date", ""],
  ["[$-F800]dddd\\,\\ mmmm\\ dd\\,\\ yyyy", "date", ""],
  ["mmm", "date", ""],
  ['[$-411]ggge"年"m"月"d"日"', "date", ""],
  ["DD.MM.YYYY HH:MM", "date", ""],
  ["h:mm AM/PM", "time", ""],
  ["mm:ss.0", "time", ""],
  ["[h]:mm:ss", "duration", ""],
  ["[mm]:ss", "duration", ""],
  ['"due "0', "number", "due"],
  ["0;yyyy", "number", ""],
  ['"never closed', "number", "never closed"],
  ["[h", "duration", ""],
] as const)("%s is a %s with words %j", (code, meaning, words) => {
  expect(parseNumberFormat(code)).toEqual({ meaning, words });
});

describe("numbers as text", () => {
  test.each([
    ["31.699999999999999", "31.7"],
    ["1E3", "1000"],
    ["-2.5E-3", "-0.0025"],
    ["007", "7"],
    ["-0", "-0"],
    [" 12 ", "12"],
    ["123456789012345678901234567890", "123456789012345678901234567890"],
    ["not a number", "not a number"],
  ])("%s reads %s", (stored, text) => {
    expect(numberText(stored)).toBe(text);
  });

  test.each([
    ["0.14", "14%"],
    ["0.28999999999999998", "29%"],
    ["1", "100%"],
    ["12", "1200%"],
    ["-0.005", "-0.5%"],
    ["0.00001234", "0.001234%"],
    ["0", "0%"],
    ["0.1", "10%"],
  ])("%s as percent reads %s", (stored, text) => {
    expect(percentText(stored)).toBe(text);
  });

  test("a percentage names the same number, digit by digit", () => {
    for (let thousandth = 0; thousandth < 2000; thousandth++) {
      expect(percentText(String(thousandth / 1000))).toBe(`${Number((thousandth / 10).toFixed(1))}%`);
    }
  });
});
