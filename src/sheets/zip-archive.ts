import { crc32 } from "./crc-32.ts";
import { SheetFailure } from "./sheet-failure.ts";
import { sheetLimits } from "./sheet-limits.ts";
import { inflate, spend, type UnpackBudget, unpackBudget } from "./unpack.ts";

/** A ZIP archive's directory. Names are only ever looked up, never used as paths of a disk. */
export interface ZipArchive {
  /** Finds an entry by its name without a leading slash; upper and lower case are one (ECMA-376 part 2). */
  find(name: string): ZipEntry | undefined;
  readonly names: readonly string[];
  /**
   * Unpacks one entry piece by piece.
   *
   * @throws SheetFailure on encrypted, damaged or too large entries.
   */
  unpack(entry: ZipEntry, take: (piece: Uint8Array) => void): void;
}

interface ZipEntry {
  readonly name: string;
  readonly method: number;
  readonly encrypted: boolean;
  readonly crc: number;
  readonly packedBytes: number;
  readonly headerAt: number;
}

/**
 * Reads the directory of a ZIP archive (APPNOTE 4.3), the 64-bit records included.
 *
 * @throws SheetFailure `broken_workbook` if there is none or it does not hold together.
 */
export function openZipArchive(bytes: Uint8Array): ZipArchive {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const budget = unpackBudget(bytes);
  const byName = new Map<string, ZipEntry>();
  const entries = readDirectory(bytes, view);
  for (const entry of entries) {
    const name = entry.name.toLowerCase();
    if (!byName.has(name)) byName.set(name, entry);
  }
  return {
    find: (name) => byName.get(name.toLowerCase()),
    names: entries.map((entry) => entry.name),
    unpack: (entry, take) => unpackEntry(bytes, view, entry, budget, take),
  };
}

const endRecord = 0x06054b50;
const endRecord64 = 0x06064b50;
const endLocator64 = 0x07064b50;
const directoryRecord = 0x02014b50;
const localHeader = 0x04034b50;
const longestComment = 0xffff;

function readDirectory(bytes: Uint8Array, view: DataView): ZipEntry[] {
  let { count, at } = findDirectory(view);
  if (count > sheetLimits.archiveEntries) throw new SheetFailure("broken_workbook", "zip directory");
  const names = new TextDecoder("utf-8");
  const entries: ZipEntry[] = [];
  for (; count > 0; count--) {
    if (at < 0 || at + 46 > view.byteLength || view.getUint32(at, true) !== directoryRecord) {
      throw new SheetFailure("broken_workbook", "zip directory");
    }
    const nameLength = view.getUint16(at + 28, true);
    const extraLength = view.getUint16(at + 30, true);
    const commentLength = view.getUint16(at + 32, true);
    const sizes = entrySizes(view, at, nameLength, extraLength);
    entries.push({
      name: names.decode(bytes.subarray(at + 46, at + 46 + nameLength)).replace(/^\/+/, ""),
      method: view.getUint16(at + 10, true),
      encrypted: (view.getUint16(at + 8, true) & 1) === 1,
      crc: view.getUint32(at + 16, true),
      packedBytes: sizes.packed,
      headerAt: sizes.headerAt,
    });
    at += 46 + nameLength + extraLength + commentLength;
  }
  return entries;
}

function findDirectory(view: DataView): { count: number; at: number } {
  const last = view.byteLength - 22;
  for (let at = last; at >= 0 && at >= last - longestComment; at--) {
    if (view.getUint32(at, true) !== endRecord) continue;
    const count = view.getUint16(at + 10, true);
    const start = view.getUint32(at + 16, true);
    if (count !== 0xffff && start !== 0xffffffff) return { count, at: start };
    if (at >= 20 && view.getUint32(at - 20, true) === endLocator64) {
      const at64 = Number(view.getBigUint64(at - 12, true));
      if (at64 + 56 <= view.byteLength && view.getUint32(at64, true) === endRecord64) {
        return {
          count: Number(view.getBigUint64(at64 + 32, true)),
          at: Number(view.getBigUint64(at64 + 48, true)),
        };
      }
    }
    break;
  }
  throw new SheetFailure("broken_workbook", "zip directory");
}

/** Sizes and place of an entry; those that do not fit 32 bits stand, in fixed order, in the extra field. */
function entrySizes(
  view: DataView,
  at: number,
  nameLength: number,
  extraLength: number,
): { packed: number; headerAt: number } {
  let packed = view.getUint32(at + 20, true);
  const unpacked = view.getUint32(at + 24, true);
  let headerAt = view.getUint32(at + 42, true);
  const end = Math.min(at + 46 + nameLength + extraLength, view.byteLength);
  let field = at + 46 + nameLength;
  while (field + 4 <= end) {
    const id = view.getUint16(field, true);
    const fieldEnd = Math.min(field + 4 + view.getUint16(field + 2, true), end);
    if (id === 1) {
      let value = field + 4 + (unpacked === 0xffffffff ? 8 : 0);
      if (packed === 0xffffffff && value + 8 <= fieldEnd) {
        packed = Number(view.getBigUint64(value, true));
        value += 8;
      }
      if (headerAt === 0xffffffff && value + 8 <= fieldEnd) headerAt = Number(view.getBigUint64(value, true));
    }
    field = fieldEnd;
  }
  return { packed, headerAt };
}

function unpackEntry(
  bytes: Uint8Array,
  view: DataView,
  entry: ZipEntry,
  budget: UnpackBudget,
  take: (piece: Uint8Array) => void,
): void {
  const { headerAt } = entry;
  if (entry.encrypted) throw new SheetFailure("encrypted_workbook", "");
  if (headerAt + 30 > bytes.length || view.getUint32(headerAt, true) !== localHeader) {
    throw new SheetFailure("broken_workbook", "zip entry");
  }
  const start = headerAt + 30 + view.getUint16(headerAt + 26, true) + view.getUint16(headerAt + 28, true);
  const end = start + entry.packedBytes;
  if (end > bytes.length) throw new SheetFailure("broken_workbook", "zip entry");
  const packed = bytes.subarray(start, end);
  if (entry.method === 8) {
    inflate(packed, entry.crc, budget, take);
  } else if (entry.method === 0) {
    spend(budget, packed.length);
    if (crc32(packed) !== entry.crc) throw new SheetFailure("broken_workbook", "checksum");
    const pieceBytes = 256 * 1024;
    for (let at = 0; at < packed.length; at += pieceBytes) take(packed.subarray(at, at + pieceBytes));
  } else {
    throw new SheetFailure("broken_workbook", `zip method ${entry.method}`);
  }
}
