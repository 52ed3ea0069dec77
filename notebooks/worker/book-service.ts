import type { Answer } from "../../src/book/ask-book.ts";
import type { PageFile } from "../../src/report/page-shell.tsx";

/** A file as a reader dropped it: its path from the folder dropped, with `/` between folders. */
export interface GivenFile {
  readonly path: string;
  readonly bytes: Uint8Array;
}

/** What became of the sheets given. */
export interface SheetsTaken {
  readonly read: number;
  readonly taken: number;
  readonly setAside: number;
  readonly repeats: number;
  readonly sheets: readonly SheetTaken[];
  readonly reasons: readonly SetAsideReason[];
}

export interface SheetTaken {
  readonly name: string;
  readonly rows: number;
  /** What kind of sheet it was taken for; null when it could not be told. */
  readonly kind: string | null;
  /** Why it was not read, and what to do; empty when it was. */
  readonly trouble: string;
}

export interface SetAsideReason {
  readonly count: number;
  readonly says: string;
  readonly advice: string;
  readonly example: string;
}

/** What a book's worker does when asked. Everything that is refused is an error with words for the reader. */
export interface BookService {
  openFile(bytes: Uint8Array): void;
  takeSheets(files: readonly GivenFile[]): SheetsTaken;
  /** Works out every result table of the sheets taken; gives the flocks' names. */
  analyse(): readonly string[];
  /** Every page and table of the book, as files of an output folder. */
  writePages(): readonly PageFile[];
  zip(files: readonly PageFile[]): Uint8Array<ArrayBuffer>;
  ask(sql: string): Answer;
  /** What each column of the book means, by `schema.table.column`, and each table, by `schema.table`. */
  meanings(): Readonly<Record<string, string>>;
}

export interface Request {
  readonly id: number;
  readonly call: keyof BookService;
  readonly given: readonly unknown[];
}

/** Workers that the book's worker may give jobs to, each behind a port. */
export interface Hiring {
  readonly hands: readonly MessagePort[];
}

export type Reply =
  | { readonly id: number; readonly value: unknown }
  /** Words for the reader. */
  | { readonly id: number; readonly refused: string }
  | { readonly id: number; readonly step: string }
  /** A sentence that stands already, while the work goes on. */
  | { readonly id: number; readonly finding: string };
