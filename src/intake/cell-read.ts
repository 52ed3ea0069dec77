/** What a cell says, or the set-aside code of why it cannot be told. Readers of cells never throw. */
export type CellRead<T> = { readonly value: T } | { readonly trouble: string };

export function taken<T>(value: T): CellRead<T> {
  return { value };
}

export function refused(trouble: string): { readonly trouble: string } {
  return { trouble };
}

export function isRefused<T>(read: CellRead<T>): read is { readonly trouble: string } {
  return "trouble" in read;
}

const blankMarks = new Set(["", "-", "--", "—", "–", ".", "n/a", "na", "#n/a", "n.a.", "null", "nan", "s/d"]);

/** Whether a cell is left blank: empty, a dash, or one of the marks for 'no value'. */
export function isBlank(text: string): boolean {
  const { length } = text;
  if (length === 0) return true;
  const first = text.charCodeAt(0);
  // digits and, past the longest mark, anything but a space begin a value
  if ((first >= 48 && first <= 57) || (length > LONGEST_MARK && first > 32 && first !== 160)) return false;
  return blankMarks.has(text.trim().toLowerCase());
}

const LONGEST_MARK = 5;
