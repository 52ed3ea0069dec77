import { type LesionId, lesionIds, lesionKinds } from "../records/lesion-kinds.ts";
import { degrees, negations, wordsThatAddNothing } from "../records/negations.ts";
import { fold } from "./fold.ts";

/** The words by which findings are known: those of the trade, and a flock's own. */
export type LesionWords = ReadonlyMap<string, LesionId>;

/** The word list with a flock's own words (`[lesions]` of its settings), which win. */
export function lesionWords(own: Readonly<Record<string, string>>): LesionWords {
  const known = new Map<string, LesionId>();
  for (const id of lesionIds) {
    const { en, es } = lesionKinds[id].words;
    for (const word of [id, ...en, ...es]) if (!known.has(fold(word))) known.set(fold(word), id);
  }
  for (const [word, id] of Object.entries(own)) known.set(fold(word), id as LesionId);
  for (const [word, id] of [...known]) {
    const short = withoutEmptyWords(word.split(" ")).join(" ");
    if (short !== "" && !known.has(short)) known.set(short, id);
  }
  return known;
}

/** What a piece of text says of findings. */
export type PieceMeaning =
  | { readonly says: "found"; readonly lesion: LesionId; readonly degree: string | null }
  | { readonly says: "not_found" }
  | { readonly says: "unknown" };

/** Matches folded words, foot words already taken out, to the list. */
export function meaningOf(words: readonly string[], known: LesionWords): PieceMeaning {
  const whole = match(words, known);
  if (whole !== null) return { says: "found", lesion: whole, degree: null };
  const kept = words.filter((word) => !degreeWords.has(word));
  const plain = withoutEmptyWords(kept).filter((word) => !negationWords.has(word));
  if (words.some((word) => negationWords.has(word))) {
    if (match(["no", ...plain], known) === "none") return { says: "found", lesion: "none", degree: null };
    const left = match(plain, known);
    return left !== null && left !== "none" ? { says: "not_found" } : { says: "unknown" };
  }
  const lesion = match(kept, known) ?? match(plain, known);
  if (lesion === null) return { says: "unknown" };
  const degree = words.filter((word) => degreeWords.has(word)).join(" ");
  return { says: "found", lesion, degree: degree === "" ? null : degree };
}

/** Whether a folded word denies what it stands beside. */
export function isNegation(word: string): boolean {
  return negationWords.has(word);
}

function withoutEmptyWords(words: readonly string[]): string[] {
  return words.filter((word) => !emptyWords.has(word));
}

const negationWords = new Set<string>([...negations.en, ...negations.es]);
const emptyWords = new Set<string>([...wordsThatAddNothing.en, ...wordsThatAddNothing.es]);
const degreeWords = new Set<string>([...degrees.en, ...degrees.es]);

function match(words: readonly string[], known: LesionWords): LesionId | null {
  const text = words.join(" ");
  if (text === "") return null;
  return known.get(text) ?? known.get(text.replace(/s$/, "")) ?? known.get(text.replace(/es$/, "")) ?? null;
}
