import { createHash } from "node:crypto";
import { describe, expect, it } from "vitest";
import { sha256 } from "../../src/records/sha256.ts";

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

describe("SHA-256", () => {
  // Examples of FIPS 180-4 (Secure Hash Standard), published with it by NIST.
  it.each([
    ["abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"],
    [
      "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
      "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ],
    ["", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"],
    ["a".repeat(1_000_000), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"],
  ])("of a published message", (message, digest) => {
    expect(sha256(bytes(message))).toBe(digest);
  });

  it("agrees with OpenSSL at every length around the block borders", () => {
    for (let length = 0; length <= 200; length++) {
      const message = Uint8Array.from({ length }, (_, i) => (i * 37 + length) & 255);
      expect(sha256(message)).toBe(createHash("sha256").update(message).digest("hex"));
    }
  });
});
