import { find, workTable } from "../derive/find.ts";

/** Words for all the goats that a round did not name (RE2). */
export const OTHERS =
  "\\b(others?|rest|remaining|everyone else|everybody else|resto|otras|otros)\\b|\\bdem[aá]s";

/** What is said of them when they walked well. */
const SOUND = "\\b(sound|ok|okay|fine|good|well|normal|not lame|sanas?|sanos?|bien|normales)\\b";

/**
 * Remarks that everyone else walked sound. A remark is no data: nobody is counted as sound by it, and the keeper is
 * asked to say so in a column of its own.
 */
export function othersSoundInWords(kind: "rounds" | "gaits"): readonly string[] {
  const unsaid = kind === "rounds" ? "others_sound IS NULL AND " : "";
  return [
    find(
      kind,
      "value",
      `SELECT rid, 'note' AS column_name, note AS value, 'others_sound_in_words' AS reason FROM ${workTable(kind)}
       WHERE ${unsaid}regexp_matches(lower(note), '(${OTHERS}).{0,30}${SOUND}')`,
      "cell",
    ),
  ];
}
