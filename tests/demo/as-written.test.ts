import { expect, test } from "vitest";
import { dayMonthYear, inchFraction, monthDayYear } from "../../src/demo/keepers-sheets/as-written.ts";

// One inch is 25.4 mm by definition (international yard and pound agreement, 1959).
test.each([
  [25.4, "1"],
  [36.5125, "1 7/16"],
  [12.7, "1/2"],
  [31.75, "1 1/4"],
  [1.5875, "1/16"],
  [0, "0"],
  [-3.175, "-1/8"],
  [38.0, "1 1/2"],
])("writes %d mm as %s inches", (mm, text) => {
  expect(inchFraction(mm)).toBe(text);
});

test("writes days in either order and leaves alone what is no day", () => {
  expect(monthDayYear("2024-03-09")).toBe("3/9/2024");
  expect(dayMonthYear("2024-03-09")).toBe("9.3.2024");
  expect(monthDayYear("~2021")).toBeNull();
  expect(inchFraction(null)).toBeNull();
});
