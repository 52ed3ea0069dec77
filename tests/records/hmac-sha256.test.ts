import { createHmac } from "node:crypto";
import { expect, test } from "vitest";
import { hmacSha256 } from "../../src/records/hmac-sha256.ts";

// RFC 4231, section 4.3 (test case 2)
test("gives the digest that RFC 4231 prints", () => {
  expect(hmacSha256("Jefe", "what do ya want for nothing?")).toBe(
    "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843",
  );
});

// against the platform's own implementation: short, block-long and longer secrets
test.each([0, 1, 63, 64, 65, 200])("agrees with the platform for a secret of %i bytes", (length) => {
  const secret = "k".repeat(length);
  expect(hmacSha256(secret, "señal ✓")).toBe(createHmac("sha256", secret).update("señal ✓").digest("hex"));
});
