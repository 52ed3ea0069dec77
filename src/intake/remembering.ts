const MOST_REMEMBERED = 65_536;

/** Columns hold few distinct texts: each is read once, and forgotten only when there are very many. */
export function remembering<T>(read: (text: string) => T): (text: string) => T {
  const known = new Map<string, T>();
  return (text) => {
    const before = known.get(text);
    if (before !== undefined) return before;
    const value = read(text);
    if (known.size >= MOST_REMEMBERED) known.clear();
    known.set(text, value);
    return value;
  };
}
