/** Words and marks for yes and no, folded (lower case, no accents). */
export const flagWords = {
  yes: [
    "yes",
    "y",
    "yep",
    "true",
    "t",
    "1",
    "x",
    "✓",
    "✔",
    "☑",
    "si",
    "s",
    "ja",
    "j",
    "oui",
    "done",
    "hecho",
    "verdadero",
  ],
  no: ["no", "n", "nope", "false", "f", "0", "nein", "nee", "falso", "☐", "not"],
} as const;
