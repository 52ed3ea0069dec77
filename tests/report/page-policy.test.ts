import { createHash } from "node:crypto";
import { describe, expect, test } from "vitest";
import { printHeads } from "../../src/report/design/stylesheet.ts";
import { pagePolicy } from "../../src/report/page-policy.ts";

describe("the content security policy", () => {
  test.each(["", "a{color:red}", "ñandú { content: '→' }"])(
    "names the style %j by its SHA-256 in base64",
    (style) => {
      const hash = createHash("sha256").update(style, "utf8").digest("base64");
      expect(pagePolicy([style])).toContain(`'sha256-${hash}'`);
    },
  );

  test("lets nothing load, run or be sent", () => {
    const policy = pagePolicy(["a{}"]);
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("base-uri 'none'");
    expect(policy).toContain("form-action 'none'");
    expect(policy).not.toMatch(/unsafe|script-src|https?:|\*/);
  });
});

describe("heads of printed pages", () => {
  test("a name cannot end the text, the style or the element", () => {
    const style = printHeads({ left: `</style><b>"\\}`, right: "Vet\nx", page: "page", of: "of" });
    expect(style).not.toMatch(/<|\\}|\n/);
    expect(style).toContain('"\\3c \\2f style\\3e \\3c b\\3e \\22 \\5c \\7d "');
    expect(style.match(/\{/g)).toHaveLength(style.match(/\}/g)!.length);
  });
});
