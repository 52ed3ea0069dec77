import { code } from "../records/codes.ts";
import type { ClawId, FootId } from "../records/feet.ts";
import type { LesionId } from "../records/lesion-kinds.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";
import { fold } from "./fold.ts";
import { footInWords } from "./foot-in-words.ts";
import { type LesionWords, meaningOf } from "./lesion-words.ts";

/** One finding that a cell names. */
export interface LesionFound {
  readonly lesion: LesionId;
  /** The piece of text it was read from, as it came. */
  readonly text: string;
  readonly suspected: boolean;
  readonly degree: string | null;
  /** Feet that the text itself names; empty when it names none. */
  readonly feet: readonly FootId[];
  readonly claw: ClawId | null;
  /** False when the piece matched no word and stays `other`. */
  readonly known: boolean;
}

/**
 * Reads findings in plain words: parted at `+ ; / ,`, each part matched to the word list. Foot words in the
 * text tell the foot (a leading one also that of the parts behind it), `?` and words of doubt make it
 * suspected, and what is denied ('no rot', 'sin gabarro') is not found. A part that matches nothing is
 * `other`. `none` beside a finding of the same foot says nothing more and is dropped. A cell that only
 * denies is refused with `only_negated`.
 */
export function readLesions(text: string, words: LesionWords): CellRead<readonly LesionFound[]> {
  const found: LesionFound[] = [];
  let leading: { feet: readonly FootId[]; claw: ClawId | null } = { feet: [], claw: null };
  for (const piece of pieces(text, words)) {
    const { feet, claw, rest, leads } = footInWords(fold(piece), true);
    const doubtful = piece.includes("?") || rest.some((word) => doubts.has(word));
    const plain = rest.filter((word) => !doubts.has(word));
    if (feet.length > 0 && leads) leading = { feet, claw };
    if (plain.length === 0 && feet.length > 0) continue;
    const meaning = meaningOf(plain, words);
    if (meaning.says === "not_found") continue;
    found.push({
      lesion: meaning.says === "found" ? meaning.lesion : "other",
      text: piece.trim(),
      suspected: doubtful,
      degree: meaning.says === "found" ? meaning.degree : null,
      feet: feet.length > 0 ? feet : leading.feet,
      claw: claw ?? (feet.length > 0 ? null : leading.claw),
      known: meaning.says === "found",
    });
  }
  if (found.length === 0) return refused(code("only_negated"));
  return taken(
    found.filter((one) => one.lesion !== "none" || !found.some((other) => deniesClean(other, one))),
  );
}

const doubts = new Set([
  "suspected",
  "suspect",
  "susp",
  "possible",
  "possibly",
  "poss",
  "maybe",
  "perhaps",
  "probable",
  "prob",
  "sospecha",
  "sospechosa",
  "sospechoso",
  "posible",
  "quiza",
  "quizas",
  "probablemente",
  "tal",
  "vez",
]);

/** Parts of a text, a part with 'and' or 'with' in it parted again when each side is a known finding. */
function pieces(text: string, words: LesionWords): string[] {
  if (meaningOf(fold(text).split(" "), words).says === "found") return [text];
  return text
    .split(/[+;/,\n]|:\s/)
    .filter((piece) => fold(piece) !== "" || piece.includes("?"))
    .flatMap((piece) => {
      const sides = piece.split(/\s+(?:and|with|y|con|&)\s+/i);
      const each = sides.length > 1 && sides.every((side) => isFinding(side, words));
      return each ? sides : [piece];
    });
}

function isFinding(text: string, words: LesionWords): boolean {
  return meaningOf(footInWords(fold(text), true).rest, words).says === "found";
}

function deniesClean(other: LesionFound, clean: LesionFound): boolean {
  if (other.lesion === "none") return false;
  return (
    clean.feet.length === 0 || other.feet.length === 0 || clean.feet.some((foot) => other.feet.includes(foot))
  );
}
