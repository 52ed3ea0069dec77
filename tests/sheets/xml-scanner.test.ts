import fc from "fast-check";
import { SaxesParser } from "saxes";
import { describe, expect, test } from "vitest";
import { scanXml } from "../../src/sheets/xml-scanner.ts";

type Event =
  | readonly ["open", string, string | undefined]
  | readonly ["close", string]
  | readonly ["text", string];

/** Adds an event; text that comes in pieces becomes one, and text outside of the root is none. */
function add(events: Event[], event: Event): void {
  const last = events.at(-1);
  if (event[0] !== "text") events.push(event);
  else if (last?.[0] === "text") events[events.length - 1] = ["text", last[1] + event[1]];
  else if (event[1] !== "") events.push(event);
}

function scanned(pieces: readonly string[]): Event[] {
  const events: Event[] = [];
  const scanner = scanXml({
    open: (name, attributes) => add(events, ["open", name, attributes.get("a")]),
    close: (name) => add(events, ["close", name]),
    text: (text) => add(events, ["text", text]),
  });
  for (const piece of pieces) scanner.write(piece);
  scanner.end();
  return events;
}

/** The same by saxes 6, a general XML parser that checks well-formedness in full. */
function parsedBySaxes(text: string): Event[] {
  const events: Event[] = [];
  const parser = new SaxesParser();
  let depth = 0;
  parser.on("error", (error) => {
    throw error;
  });
  parser.on("opentag", ({ name, attributes }) => {
    depth++;
    add(events, ["open", name, attributes.a as string | undefined]);
  });
  parser.on("closetag", ({ name }) => {
    depth--;
    add(events, ["close", name]);
  });
  parser.on("text", (text) => {
    if (depth > 0) add(events, ["text", text]);
  });
  parser.on("cdata", (text) => add(events, ["text", text]));
  parser.write(text).close();
  return events;
}

const textPiece = fc.constantFrom(
  "x",
  " ",
  "\n",
  "\r\n",
  "é",
  "🐐",
  "&amp;",
  "&lt;",
  "&#10;",
  "&#x1F410;",
  "<!-- - c > -->",
  "<![CDATA[<&]] >]]>",
  "<?pi x?>",
  "] ",
  "'",
  ">",
);
const { node } = fc.letrec<{ node: string }>((tie) => ({
  node: fc
    .tuple(
      fc.constantFrom("row", "c", "v"),
      fc.option(fc.constantFrom("", "1", "a&gt;b", "<".replace("<", "&lt;"), "it's", " /> "), {
        nil: undefined,
      }),
      fc.array(fc.oneof({ maxDepth: 3 }, textPiece, tie("node")), { maxLength: 5 }),
      fc.boolean(),
    )
    .map(([name, attribute, children, closesItself]) => {
      const tag = attribute === undefined ? name : `${name}  b='"' a="${attribute}" `;
      return children.length === 0 && closesItself ? `<${tag}/>` : `<${tag}>${children.join("")}</${name} >`;
    }),
}));

test("any document gives what a general XML parser gives, however it is cut", () => {
  fc.assert(
    fc.property(node, fc.boolean(), fc.integer({ min: 1, max: 9 }), (root, declared, pieceLength) => {
      const text = `${declared ? '<?xml version="1.0"?>\n' : ""}${root}\n`;
      const pieces = Array.from({ length: Math.ceil(text.length / pieceLength) }, (_, index) =>
        text.slice(index * pieceLength, (index + 1) * pieceLength),
      );
      const expected = parsedBySaxes(text);
      expect(scanned([text])).toEqual(expected);
      expect(scanned(pieces)).toEqual(expected);
    }),
    { numRuns: 600 },
  );
});

describe("is refused", () => {
  test.each([
    ["a document type", "<!DOCTYPE a><a/>"],
    ["an entity of its own", '<!DOCTYPE a [<!ENTITY e "x">]><a>&e;</a>'],
    ["an unknown entity", "<a>&e;</a>"],
    ["a bare ampersand", "<a>x & y</a>"],
    ["a reference without end", "<a>&amp</a>"],
    ["character number zero", "<a>&#0;</a>"],
    ["a character past Unicode", "<a>&#x110000;</a>"],
    ["tags that cross", "<a><b></a></b>"],
    ["a tag left open", "<a><b></b>"],
    ["two roots", "<a/><b/>"],
    ["nothing", ""],
    ["a comment left open", "<a/><!-- "],
    ["a tag in a tag", "<a <b/>></a>"],
    ["an attribute without a value", "<a b/>"],
    ["an attribute without quotes", "<a b=1/>"],
    ["nesting past the limit", "<a>".repeat(300) + "</a>".repeat(300)],
    ["a tag without end", `<a ${"b".repeat(2_000_000)}`],
  ])("%s", (_, text) => {
    expect(() => scanned([text])).toThrow(/broken_workbook/);
    expect(() => scanned([...text.slice(0, 400)])).toThrow();
  });
});

test("names come without prefix, attributes too", () => {
  const seen: unknown[] = [];
  const scanner = scanXml({
    open: (name, attributes) => seen.push([name, attributes.get("id"), attributes.get("none")]),
    close: (name) => seen.push(name),
    text() {},
  });
  scanner.write('<x:sheet xmlns:x="u" r:id="rId1"/>');
  scanner.end();
  expect(seen).toEqual([["sheet", "rId1", undefined], "sheet"]);
});
