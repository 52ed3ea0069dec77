import { Gunzip, Inflate } from "fflate";
import { crc32 } from "./crc-32.ts";
import { SheetFailure } from "./sheet-failure.ts";
import { sheetLimits } from "./sheet-limits.ts";

/** What has been unpacked so far out of one file, all its parts together. */
export interface UnpackBudget {
  readonly packedBytes: number;
  unpackedBytes: number;
}

export function unpackBudget(packed: Uint8Array): UnpackBudget {
  return { packedBytes: packed.length, unpackedBytes: 0 };
}

/** Small enough that one step cannot unpack to more than some tens of megabytes (deflate expands 1032 times at most). */
const stepBytes = 32 * 1024;

/**
 * Unpacks raw deflate data (RFC 1951) piece by piece, and checks its CRC-32.
 *
 * @throws SheetFailure `too_large_when_unpacked` past the budget, `broken_workbook` on damaged data.
 */
export function inflate(
  packed: Uint8Array,
  expectedCrc: number,
  budget: UnpackBudget,
  take: (piece: Uint8Array) => void,
): void {
  let crc = 0;
  let done = false;
  const stream = new Inflate((piece, final) => {
    spend(budget, piece.length);
    crc = crc32(piece, crc);
    done = final;
    if (piece.length > 0) take(piece);
  });
  pushInSteps(stream, packed, "broken_workbook", "deflate");
  if (!done || crc !== expectedCrc) throw new SheetFailure("broken_workbook", "checksum");
}

/**
 * Unpacks a gzip file (RFC 1952), of one member or several, and checks the CRC-32 of each.
 *
 * @throws SheetFailure `too_large_when_unpacked` past the limits, `unreadable_file` on damaged data.
 */
export function gunzip(packed: Uint8Array): Uint8Array {
  const budget = unpackBudget(packed);
  const pieces: Uint8Array[] = [];
  let crc = 0;
  let done = false;
  const stream = new Gunzip((piece, final) => {
    spend(budget, piece.length);
    crc = crc32(piece, crc);
    done = final;
    pieces.push(piece);
  });
  const checkMember = (end: number) => {
    if (end < 18 || littleEndian32(packed, end - 8) !== crc)
      throw new SheetFailure("unreadable_file", "gzip");
    crc = 0;
  };
  stream.onmember = checkMember;
  pushInSteps(stream, packed, "unreadable_file", "gzip");
  if (!done) throw new SheetFailure("unreadable_file", "gzip");
  checkMember(packed.length);
  return joined(pieces, budget.unpackedBytes);
}

/** Counts bytes against the limits before they are used. */
export function spend(budget: UnpackBudget, bytes: number): void {
  budget.unpackedBytes += bytes;
  const { unpackedBytes, packedBytes } = budget;
  if (unpackedBytes > sheetLimits.unpackedBytes) {
    throw new SheetFailure("too_large_when_unpacked", String(sheetLimits.unpackedBytes));
  }
  if (
    unpackedBytes > sheetLimits.ratioJudgedFromBytes &&
    unpackedBytes > packedBytes * sheetLimits.unpackedRatio
  ) {
    throw new SheetFailure("too_large_when_unpacked", `${sheetLimits.unpackedRatio}:1`);
  }
}

function pushInSteps(
  stream: Inflate | Gunzip,
  packed: Uint8Array,
  code: "broken_workbook" | "unreadable_file",
  detail: string,
): void {
  try {
    for (let at = 0; at < packed.length; at += stepBytes) {
      stream.push(packed.subarray(at, at + stepBytes), at + stepBytes >= packed.length);
    }
  } catch (error) {
    if (error instanceof SheetFailure) throw error;
    throw new SheetFailure(code, detail);
  }
}

function joined(pieces: readonly Uint8Array[], length: number): Uint8Array {
  const whole = new Uint8Array(length);
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}

function littleEndian32(bytes: Uint8Array, at: number): number {
  return (bytes[at] | (bytes[at + 1] << 8) | (bytes[at + 2] << 16) | (bytes[at + 3] << 24)) >>> 0;
}
