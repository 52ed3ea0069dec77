/**
 * Marks that a reader cannot see and that reorder or hide the text around them, as U+FFFD: control characters
 * other than tab and line breaks, and the embeddings, overrides and isolates of bidirectional text (Unicode
 * Standard Annex 9). A name keeps its letters in the order in which they were written.
 */
export function visibleText(text: string): string {
  return text.replace(hidden, "\ufffd");
}

// biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what it looks for
const hidden = /[\0-\x08\v\f\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;
