import { code } from "../records/codes.ts";
import type { Column } from "../records/kind.ts";
import { nearest } from "../records/nearest.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";
import { fold } from "./fold.ts";

/**
 * A reader of one column's closed list of values, by the value or any of its words. A word that the list
 * lacks is refused with `unknown_word`, which names the nearest known one.
 */
export function choiceReader(column: Column): (text: string) => CellRead<string> {
  const known = new Map<string, string>();
  const spelled: string[] = [];
  for (const { value, words } of column.choices ?? []) {
    for (const word of [value, ...words.en, ...words.es]) {
      spelled.push(word);
      for (const form of [word, fold(word)]) if (form !== "" && !known.has(form)) known.set(form, value);
    }
  }
  return (text) => {
    const mark = text.trim();
    const value = known.get(mark) ?? known.get(fold(mark)) ?? known.get(mark.replace(/[.,]0+$/, ""));
    return value === undefined
      ? refused(code("unknown_word", column.name, nearest(mark, spelled) ?? "?"))
      : taken(value);
  };
}
