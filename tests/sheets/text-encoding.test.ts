import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  decodedChunks,
  findEncoding,
  noDecodingFinds,
  type TextEncoding,
} from "../../src/sheets/text-encoding.ts";
import { windows1252CodeUnit } from "../../src/sheets/windows-1252.ts";

function decode(bytes: Uint8Array): { text: string; encoding: TextEncoding | undefined; stray: number } {
  const found = findEncoding(bytes);
  const finds = noDecodingFinds();
  const text = found === null ? "" : [...decodedChunks(bytes, found, finds)].join("");
  return { text, encoding: found?.encoding, stray: finds.strayBytes };
}

const hex = (text: string) => Uint8Array.from(text.split(" "), (byte) => Number.parseInt(byte, 16));

function utf16(text: string, bigEndian: boolean): Uint8Array {
  const view = new DataView(new ArrayBuffer(2 * text.length));
  for (let unit = 0; unit < text.length; unit++) view.setUint16(2 * unit, text.charCodeAt(unit), !bigEndian);
  return new Uint8Array(view.buffer);
}

const joined = (...parts: Uint8Array[]) => Uint8Array.from(parts.flatMap((part) => [...part]));

/** Text as sheets hold it: cells, delimiters and line ends, some of it far from western. */
const sheetText = fc
  .array(
    fc.constantFrom("animal,", "AB1;", "2024-03-01\t", "31.5\r\n", "é", "Ñ", "½", "–", "羊", "🐐", "\n"),
    {
      minLength: 3,
      maxLength: 40,
    },
  )
  .map((pieces) => pieces.join(""));

describe("UTF-8", () => {
  test.each([
    // RFC 3629, section 7, examples.
    ["41 E2 89 A2 CE 91 2E", "A\u2262\u0391."],
    ["ED 95 9C EA B5 AD EC 96 B4", "\uD55C\uAD6D\uC5B4"],
    ["E6 97 A5 E6 9C AC E8 AA 9E", "\u65E5\u672C\u8A9E"],
    ["EF BB BF F0 A3 8E B4", "\u{233B4}"],
  ])("%s", (bytes, text) => {
    expect(decode(hex(bytes))).toEqual({ text, encoding: "utf-8", stray: 0 });
  });

  test.each([
    // RFC 3629, section 3 and 10: sequences that no decoder may accept. Each stands after good UTF-8.
    ["overlong slash", "C0 AF"],
    ["overlong NUL", "C0 80"],
    ["overlong in three bytes", "E0 80 AF"],
    ["overlong in four bytes", "F0 80 80 AF"],
    ["half of a surrogate pair", "ED A0 80"],
    ["past U+10FFFF", "F4 90 80 80"],
    ["a lone continuation", "80"],
    ["a sequence cut short", "E2 89"],
  ])("%s is no UTF-8 and reads as Windows-1252 byte by byte", (_, bytes) => {
    const bad = hex(bytes);
    const good = "señal más ñandú caña ";
    const { text, encoding, stray } = decode(joined(new TextEncoder().encode(good), bad));
    expect(encoding).toBe("utf-8");
    expect(stray).toBe(bad.length);
    expect(text).toBe(good + String.fromCharCode(...[...bad].map(windows1252CodeUnit)));
  });

  test("any text comes back, however long", () => {
    fc.assert(
      fc.property(sheetText, fc.nat(3), (text, shift) => {
        const long = `${"x".repeat(shift)}${text.repeat(3)}`;
        expect(decode(new TextEncoder().encode(long)).text).toBe(long);
      }),
    );
    // Characters of two, three and four bytes across the places where long text is cut.
    const characters = "é羊🐐".repeat(40_000);
    for (const shift of [0, 1, 2, 3]) {
      const text = "x".repeat(shift) + characters;
      expect(decode(new TextEncoder().encode(text)).text).toBe(text);
    }
  });
});

describe("UTF-16", () => {
  test.each([
    // RFC 2781, section 3.3, examples: the text U+12345 "=Ra" with and without marks.
    ["FE FF D8 08 DF 45 00 3D 00 52 00 61", "utf-16be"],
    ["FF FE 08 D8 45 DF 3D 00 52 00 61 00", "utf-16le"],
    ["D8 08 DF 45 00 3D 00 52 00 61", "utf-16be"],
    ["08 D8 45 DF 3D 00 52 00 61 00", "utf-16le"],
  ])("%s", (bytes, encoding) => {
    expect(decode(hex(bytes))).toEqual({ text: "\u{12345}=Ra", encoding, stray: 0 });
  });

  test("any sheet's text comes back, with and without a mark", () => {
    fc.assert(
      fc.property(sheetText, fc.boolean(), fc.boolean(), (body, bigEndian, marked) => {
        const text = `animal,date\n${body}`;
        const bytes = utf16(marked ? `\ufeff${text}` : text, bigEndian);
        expect(decode(bytes)).toEqual({ text, encoding: bigEndian ? "utf-16be" : "utf-16le", stray: 0 });
      }),
    );
  });
});

describe("Windows-1252", () => {
  test("the bytes 80 to 9F are those of the WHATWG Encoding Standard's index", () => {
    // https://encoding.spec.whatwg.org/index-windows-1252.txt, written out from memory.
    const expected = "€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ";
    expect(
      Array.from({ length: 32 }, (_, byte) => String.fromCharCode(windows1252CodeUnit(0x80 + byte))).join(""),
    ).toBe(expected);
  });

  test("text in it is told from UTF-8", () => {
    const text = "animal;nota\nAB1;cañón más añejo\n";
    const bytes = Uint8Array.from(text, (character) => character.charCodeAt(0));
    expect(decode(bytes)).toEqual({ text, encoding: "windows-1252", stray: 0 });
  });
});

test("pure ASCII is UTF-8", () => {
  expect(decode(new TextEncoder().encode("a,b\n")).encoding).toBe("utf-8");
});

test("a run of zero bytes in a plain file does not make it UTF-16", () => {
  const bytes = joined(new TextEncoder().encode("animal,date\nAB1,2024\n"), new Uint8Array(9));
  expect(decode(bytes).encoding).toBe("utf-8");
});

test("zero bytes here and there, on even and odd places, do not make it UTF-16", () => {
  const bytes = new TextEncoder().encode("an~im~al~,d~ate~\nA~B1~,20~~2~~4\n".replaceAll("~", "\0"));
  expect(decode(bytes)).toEqual({ text: "animal,date\nAB1,2024\n", encoding: "utf-8", stray: 0 });
});
