import type { TableNote, TableNoteCode } from "./text-table.ts";

/** Collects a table's notes: one for each code (and key), with the first place and how many there were. */
export interface NoteList {
  add(
    code: TableNoteCode,
    note: { row?: number; column?: number; detail?: string; count?: number; key?: string },
  ): void;
  listed(): readonly TableNote[];
}

export function notesOfTable(): NoteList {
  const notes = new Map<string, TableNote>();
  return {
    add(code, { row, column, detail, count = 1, key = "" }) {
      const name = `${code} ${key}`;
      const before = notes.get(name);
      notes.set(
        name,
        before === undefined
          ? { code, row: row ?? null, column: column ?? null, count, detail: detail ?? "" }
          : { ...before, count: before.count + count },
      );
    },
    listed: () => [...notes.values()],
  };
}
