import type { SheetTroubleCode } from "./text-table.ts";

/** Breaks off the reading of one part; caught inside this room, where it becomes a trouble. */
export class SheetFailure extends Error {
  readonly code: SheetTroubleCode;
  readonly detail: string;

  constructor(code: SheetTroubleCode, detail: string) {
    super(`${code}: ${detail}`);
    this.code = code;
    this.detail = detail;
  }
}
