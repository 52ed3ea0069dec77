/**
 * What a keeper can do about a disk or folder that does not take or give what was asked; null when the error
 * is of another kind. Reads the error codes of the system (POSIX.1, errno.h) and the engine's own words.
 */
export function storageTrouble(error: unknown): string | null {
  if (!(error instanceof Error)) return null;
  const { code, path } = error as NodeJS.ErrnoException;
  const says = error.message;
  const where = path ?? /"([^"]+)"/.exec(says)?.[1] ?? null;
  const found = troubles.find(({ codes, words }) =>
    code === undefined ? words.test(says) : codes.includes(code),
  );
  return found === undefined
    ? null
    : `${found.what}${where === null ? "" : ` (${where})`}. ${found.remedy} What was in the book and in the output folder before is untouched.`;
}

interface StorageTrouble {
  readonly codes: readonly string[];
  readonly words: RegExp;
  readonly what: string;
  readonly remedy: string;
}

const troubles: readonly StorageTrouble[] = [
  {
    codes: ["ENOSPC", "EDQUOT"],
    words: /no space left|disk is full|quota exceeded|not enough (disk )?space/i,
    what: "The disk is full",
    remedy: "Free some space, or name another place with --out and --book, and run it again.",
  },
  {
    codes: ["EFBIG"],
    words: /file too large|file size limit/i,
    what: "A file would become larger than this disk or account allows",
    remedy: "Name another place with --out and --book, and run it again.",
  },
  {
    codes: ["EROFS", "EACCES", "EPERM"],
    words: /read-only file system|permission denied|access is denied|operation not permitted/i,
    what: "The folder or file may not be written or read",
    remedy: "Check its permissions, or name another place with --out and --book.",
  },
  {
    codes: ["ENOTDIR", "EEXIST", "EISDIR"],
    words: /not a directory|is a directory/i,
    what: "A file stands where a folder is needed, or the other way round",
    remedy: "Move it away, or name another place with --out and --book.",
  },
  {
    codes: ["EIO"],
    words: /input\/output error/i,
    what: "The disk does not answer as it should",
    remedy: "Copy the book to another disk before anything else.",
  },
];
