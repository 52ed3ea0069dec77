import { isSheetName, SETTINGS_FILE } from "../../src/intake/input-names.ts";
import type { GivenFile } from "../worker/book-service.ts";

/** Files of a picker, with the paths from the folder picked. */
export async function pickedFiles(files: FileList | null): Promise<readonly GivenFile[]> {
  const wanted = Array.from(files ?? []).map((file) => ({
    path: file.webkitRelativePath || file.name,
    file,
  }));
  return readAll(wanted);
}

/** Files and folders of a drop, folders with all that is in them. */
export async function droppedFiles(transfer: DataTransfer): Promise<readonly GivenFile[]> {
  // the list is emptied once the event is over: everything is taken hold of before anything is awaited
  const held = Array.from(transfer.items, (item) => item.webkitGetAsEntry() ?? item.getAsFile()).filter(
    (one) => one !== null,
  );
  const found = held.map((one) => (one instanceof File ? [{ path: one.name, file: one }] : filesOf(one)));
  return readAll((await Promise.all(found)).flat());
}

interface Found {
  readonly path: string;
  readonly file: File;
}

async function filesOf(entry: FileSystemEntry): Promise<readonly Found[]> {
  if (entry.isFile) {
    const file = await new Promise<File>((resolve, reject) =>
      (entry as FileSystemFileEntry).file(resolve, reject),
    );
    return [{ path: entry.fullPath.replace(/^\//, ""), file }];
  }
  const reader = (entry as FileSystemDirectoryEntry).createReader();
  const inside: FileSystemEntry[] = [];
  // a reader gives a folder in parts, and an empty part at its end
  for (;;) {
    const part = await new Promise<FileSystemEntry[]>((resolve, reject) =>
      reader.readEntries(resolve, reject),
    );
    if (part.length === 0) break;
    inside.push(...part);
  }
  return (await Promise.all(inside.map(filesOf))).flat();
}

/** Only what may be a sheet, settings or a book is read: a folder may hold films. */
async function readAll(found: readonly Found[]): Promise<readonly GivenFile[]> {
  const wanted = found.filter(
    ({ file }) => isSheetName(file.name) || file.name === SETTINGS_FILE || file.name.endsWith(".duckdb"),
  );
  return Promise.all(
    wanted.map(async ({ path, file }) => ({ path, bytes: new Uint8Array(await file.arrayBuffer()) })),
  );
}
