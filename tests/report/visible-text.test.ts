import { expect, test } from "vitest";
import { visibleText } from "../../src/report/visible-text.ts";

test("marks that turn text round or steer a terminal are shown, letters and line breaks kept", () => {
  expect(visibleText("a\u202eb\u2066c\u0000d\u001b[2Je\u009bf")).toBe(
    "a\ufffdb\ufffdc\ufffdd\ufffd[2Je\ufffdf",
  );
  expect(visibleText("Ñandú\n\t山羊 🐐 e\u0301 — ½")).toBe("Ñandú\n\t山羊 🐐 e\u0301 — ½");
});
