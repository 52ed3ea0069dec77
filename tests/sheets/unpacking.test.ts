import { deflateRawSync, gzipSync } from "node:zlib";
import fc from "fast-check";
import { zipSync } from "fflate";
import { describe, expect, test } from "vitest";
import { crc32 } from "../../src/sheets/crc-32.ts";
import { readSheets } from "../../src/sheets/read-sheets.ts";
import { writeWorkbook } from "../../src/sheets/write-workbook.ts";
import { openZipArchive } from "../../src/sheets/zip-archive.ts";
import { numberedRows } from "./table-rows.ts";

const bytesOf = (text: string) => new TextEncoder().encode(text);
const joined = (...parts: Uint8Array[]) => Uint8Array.from(parts.flatMap((part) => [...part]));

describe("CRC-32", () => {
  test("check value of the nine digits, CBF43926 (the catalogue of parametrised CRC algorithms, from memory)", () => {
    expect(crc32(bytesOf("123456789"))).toBe(0xcbf43926);
  });

  test("is the one that zlib puts at the end of a gzip member, and goes on from part to part", () => {
    fc.assert(
      fc.property(fc.uint8Array(), fc.nat(), (bytes, cut) => {
        const packed = gzipSync(bytes);
        const place = bytes.length === 0 ? 0 : cut % bytes.length;
        expect(crc32(bytes.subarray(place), crc32(bytes.subarray(0, place)))).toBe(
          packed.readUInt32LE(packed.length - 8),
        );
      }),
    );
  });
});

test("gzip as zlib writes it, at every level and in any number of members, reads back", () => {
  const rows = Array.from({ length: 5000 }, (_, row) => `AB${row},${(row * 7919) % 977}\n`);
  for (const level of [0, 1, 6, 9]) {
    const packed = gzipSync(bytesOf(rows.join("")), { level });
    expect(numberedRows(readSheets("x", new Uint8Array(packed)).tables[0])).toHaveLength(5000);
  }
  const members = rows.slice(0, 300).map((row) => new Uint8Array(gzipSync(bytesOf(row))));
  expect(numberedRows(readSheets("x", joined(...members)).tables[0])).toHaveLength(300);
});

describe("what unpacks to far more than it is", () => {
  const bomb = new Uint8Array(deflateRawSync(new Uint8Array(64 * 1024 * 1024), { level: 9 }));

  test("gzip", () => {
    const packed = new Uint8Array(gzipSync(new Uint8Array(64 * 1024 * 1024), { level: 9 }));
    expect(readSheets("x", packed)).toMatchObject({
      tables: [],
      troubles: [{ code: "too_large_when_unpacked" }],
    });
  });

  test.each(["xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/workbook.xml", "_rels/.rels"])(
    "%s",
    (part) => {
      const archive = zipWith(writeWorkbook([{ name: "A", rows: [["x"]] }]), part, bomb, 64 * 1024 * 1024);
      expect(readSheets("x", archive)).toMatchObject({
        tables: [],
        troubles: [{ code: "too_large_when_unpacked" }],
      });
    },
  );

  test("one cell a row in the last column of many rows", () => {
    const rows = Array.from(
      { length: 2000 },
      (_, row) => `<row r="${row + 1}"><c r="XFD${row + 1}"><v>1</v></c></row>`,
    );
    const sheet = `<worksheet><sheetData>${rows.join("")}</sheetData></worksheet>`;
    expect(readSheets("x", workbookWith(sheet))).toMatchObject({
      tables: [],
      troubles: [{ code: "too_many_cells" }],
    });
  });

  test("merged ranges over one another", () => {
    const rows = Array.from(
      { length: 5000 },
      (_, row) => `<row r="${row + 1}"><c r="CV${row + 1}"><v>1</v></c></row>`,
    );
    const merges = '<mergeCell ref="A1:XFD1048576"/>'.repeat(9000);
    const sheet = `<worksheet><sheetData>${rows.join("")}</sheetData><mergeCells>${merges}</mergeCells></worksheet>`;
    const { troubles } = readSheets("x", workbookWith(sheet));
    expect(troubles).toMatchObject([{ code: "broken_workbook", detail: "merged ranges" }]);
  });
});

describe("a ZIP archive", () => {
  const book = writeWorkbook([{ name: "A", rows: [["x"]] }]);

  test("with a comment at its end, or bytes before none of its parts, is read", () => {
    const commented = joined(book, bytesOf("hello"));
    commented[book.length - 2] = 5;
    expect(readSheets("x", commented).troubles).toEqual([]);
  });

  test("with an entry locked by a password is named so", () => {
    const locked = book.slice();
    forEachDirectoryRecord(locked, (at) => {
      locked[at + 8] |= 1;
    });
    expect(readSheets("x", locked).troubles).toMatchObject([{ code: "encrypted_workbook" }]);
  });

  test("with an entry packed in a way of its own is refused", () => {
    const other = book.slice();
    forEachDirectoryRecord(other, (at) => {
      other[at + 10] = 14;
    });
    expect(readSheets("x", other).troubles).toMatchObject([
      { code: "broken_workbook", detail: "zip method 14" },
    ]);
  });

  test("with sizes and places in 64-bit records is read", () => {
    expect(numberedRows(readSheets("x", inSixtyFourBits(book)).tables[0])).toEqual([[1, "x"]]);
  });

  test("stored without packing is read", () => {
    const archive = openZipArchive(book);
    const parts: Record<string, Uint8Array> = {};
    for (const name of archive.names) {
      const entry = archive.find(name);
      const pieces: Uint8Array[] = [];
      if (entry !== undefined) archive.unpack(entry, (piece) => pieces.push(piece));
      parts[name] = joined(...pieces);
    }
    const stored = zipSync(parts, { level: 0 });
    expect(numberedRows(readSheets("x", stored).tables[0])).toEqual([[1, "x"]]);
  });
});

/** A workbook whose one worksheet is this XML. */
function workbookWith(sheet: string): Uint8Array {
  const packed = new Uint8Array(deflateRawSync(bytesOf(sheet)));
  return zipWith(
    writeWorkbook([{ name: "A", rows: [["x"]] }]),
    "xl/worksheets/sheet1.xml",
    packed,
    bytesOf(sheet).length,
    crc32(bytesOf(sheet)),
  );
}

/** Puts other packed data in the place of one part: at the end, with the directory behind it corrected. */
function zipWith(
  archive: Uint8Array,
  part: string,
  packed: Uint8Array,
  unpackedBytes: number,
  crc = 0,
): Uint8Array {
  const end = archive.length - 22;
  const directoryAt = new DataView(archive.buffer, archive.byteOffset).getUint32(end + 16, true);
  const name = bytesOf(part);
  const header = new Uint8Array(30 + name.length);
  const headerView = new DataView(header.buffer);
  headerView.setUint32(0, 0x04034b50, true);
  headerView.setUint16(8, 8, true);
  headerView.setUint16(26, name.length, true);
  header.set(name, 30);
  const whole = joined(archive.subarray(0, directoryAt), header, packed, archive.subarray(directoryAt));
  const view = new DataView(whole.buffer);
  const added = header.length + packed.length;
  view.setUint32(end + added + 16, directoryAt + added, true);
  forEachDirectoryRecord(whole, (at, entryName) => {
    if (entryName !== part) return;
    view.setUint16(at + 10, 8, true);
    view.setUint32(at + 16, crc, true);
    view.setUint32(at + 20, packed.length, true);
    view.setUint32(at + 24, unpackedBytes, true);
    view.setUint32(at + 42, directoryAt, true);
  });
  return whole;
}

function forEachDirectoryRecord(archive: Uint8Array, change: (at: number, name: string) => void): void {
  const view = new DataView(archive.buffer, archive.byteOffset, archive.byteLength);
  const end = archive.length - 22;
  let at = view.getUint32(end + 16, true);
  for (let left = view.getUint16(end + 10, true); left > 0; left--) {
    const nameLength = view.getUint16(at + 28, true);
    change(at, new TextDecoder().decode(archive.subarray(at + 46, at + 46 + nameLength)));
    at += 46 + nameLength + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
  }
}

/** The same archive with all sizes and places moved to the 64-bit records (APPNOTE 4.3.14, 4.3.15, 4.5.3). */
function inSixtyFourBits(archive: Uint8Array): Uint8Array {
  const view = new DataView(archive.buffer, archive.byteOffset, archive.byteLength);
  const end = archive.length - 22;
  const directoryAt = view.getUint32(end + 16, true);
  const records: Uint8Array[] = [];
  forEachDirectoryRecord(archive, (at) => {
    const nameLength = view.getUint16(at + 28, true);
    const record = joined(archive.subarray(at, at + 46 + nameLength), new Uint8Array(28));
    const written = new DataView(record.buffer);
    written.setUint16(30, 28, true);
    written.setUint16(32, 0, true);
    const extraAt = 46 + nameLength;
    written.setUint16(extraAt, 1, true);
    written.setUint16(extraAt + 2, 24, true);
    [24, 20, 42].forEach((field, index) => {
      written.setBigUint64(extraAt + 4 + 8 * index, BigInt(view.getUint32(at + field, true)), true);
      written.setUint32(field, 0xffffffff, true);
    });
    records.push(record);
  });
  const directory = joined(...records);
  const end64 = new Uint8Array(56);
  const end64View = new DataView(end64.buffer);
  end64View.setUint32(0, 0x06064b50, true);
  end64View.setBigUint64(4, 44n, true);
  end64View.setBigUint64(24, BigInt(records.length), true);
  end64View.setBigUint64(32, BigInt(records.length), true);
  end64View.setBigUint64(40, BigInt(directory.length), true);
  end64View.setBigUint64(48, BigInt(directoryAt), true);
  const locator = new Uint8Array(20);
  const locatorView = new DataView(locator.buffer);
  locatorView.setUint32(0, 0x07064b50, true);
  locatorView.setBigUint64(8, BigInt(directoryAt + directory.length), true);
  locatorView.setUint32(16, 1, true);
  const lastRecord = archive.slice(end);
  const lastView = new DataView(lastRecord.buffer);
  lastView.setUint16(8, 0xffff, true);
  lastView.setUint16(10, 0xffff, true);
  lastView.setUint32(12, 0xffffffff, true);
  lastView.setUint32(16, 0xffffffff, true);
  return joined(archive.subarray(0, directoryAt), directory, end64, locator, lastRecord);
}
