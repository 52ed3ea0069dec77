/**
 * Code units of the bytes 0x80 to 0x9F in Windows-1252. The five bytes that the code page leaves undefined
 * (81, 8D, 8F, 90, 9D) become the control characters of the same number, as the WHATWG Encoding Standard's
 * index windows-1252 has it, so that no byte is lost.
 */
const upperControls = [
  0x20ac, 0x81, 0x201a, 0x192, 0x201e, 0x2026, 0x2020, 0x2021, 0x2c6, 0x2030, 0x160, 0x2039, 0x152, 0x8d,
  0x17d, 0x8f, 0x90, 0x2018, 0x2019, 0x201c, 0x201d, 0x2022, 0x2013, 0x2014, 0x2dc, 0x2122, 0x161, 0x203a,
  0x153, 0x9d, 0x17e, 0x178,
];

/** The UTF-16 code unit that one Windows-1252 byte stands for. */
export function windows1252CodeUnit(byte: number): number {
  return byte >= 0x80 && byte < 0xa0 ? upperControls[byte - 0x80] : byte;
}
