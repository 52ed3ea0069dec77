import { type LesionId, notifiableSigns, notStandingSigns } from "../records/lesion-kinds.ts";
import { limpWords } from "../records/limp-words.ts";
import { fold } from "./fold.ts";
import { isNegation, type LesionWords } from "./lesion-words.ts";

export interface RemarkMeaning {
  /** The records it would be, such as `gaits: lame` or `lesions: footrot`. */
  readonly wouldBe: readonly string[];
  readonly notifiable: boolean;
}

/**
 * Looks in a remark for a limp, a finding or a sign of notifiable disease, not denied by the words before
 * it. A remark is not data: what is found here is only asked about. Null when there is nothing to ask.
 */
export function readRemark(text: string, lesions: LesionWords): RemarkMeaning | null {
  const wouldBe = new Set<string>();
  const notifiable =
    text.split(clauseEnd).filter((clause) => scanClause(clause, lesions, wouldBe)).length > 0;
  if (notifiable && wouldBe.size === 0) wouldBe.add("lesions: other" satisfies `lesions: ${LesionId}`);
  return wouldBe.size === 0 ? null : { wouldBe: [...wouldBe], notifiable };
}

/** A denial reaches no further than its clause: 'no change, limping' speaks of a limp. */
const clauseEnd = /[,.;:!?()\n]|\s(?:but|and|still|pero|y|sigue)\s/i;

/** Adds what a clause speaks of; true when it holds a sign of notifiable disease. */
function scanClause(clause: string, lesions: LesionWords, wouldBe: Set<string>): boolean {
  const words = fold(clause).split(" ");
  let notifiable = false;
  let deniedTo = -1;
  for (let i = 0; i < words.length; i++) {
    const sign = longestAt(words, i, signs);
    const lesion = longestAt(words, i, lesions);
    const length = Math.max(sign?.length ?? 0, lesion?.length ?? 0);
    if (length === 0) continue;
    // 'no rot or scald' denies both
    const goesOn = deniedTo === i - 1 && alternatives.has(words[i - 1]!);
    if (goesOn || denied(words, i)) deniedTo = i + length;
    else {
      if (sign !== null && !(words[i] === "down" && worksDownwards(words, i))) {
        if (sign.value !== "limp") notifiable = true;
        if (sign.value !== "notifiable") wouldBe.add("gaits: lame");
      }
      if (lesion !== null && !everyday.has(words.slice(i, i + lesion.length).join(" "))) {
        if (!unasked.has(lesion.value)) wouldBe.add(`lesions: ${lesion.value}`);
      }
    }
    i += length - 1;
  }
  return notifiable;
}

const signs = new Map<string, "limp" | "notifiable" | "not_standing">([
  ...[...limpWords.en, ...limpWords.es].map((word) => [fold(word), "limp"] as const),
  ...[...notifiableSigns.en, ...notifiableSigns.es].map((word) => [fold(word), "notifiable"] as const),
  ...[...notStandingSigns.en, ...notStandingSigns.es].map((word) => [fold(word), "not_standing"] as const),
]);

/** Words of the lesion list that a remark uses for much else; in a lesion column they are plain enough. */
const everyday = new Set([
  "long",
  "too long",
  "cut",
  "stone",
  "nail",
  "wire",
  "glass",
  "split",
  "torn",
  "hurt",
  "sore",
  "white line",
  "rot",
  "larga",
  "crecida",
  "golpe",
  "piedra",
  "clavo",
  "alambre",
  "vidrio",
  "anillos",
  "strawberry",
]);

/** Nothing to ask about: a clean look, and the overgrowth that every trim log speaks of. */
const unasked: ReadonlySet<LesionId> = new Set<LesionId>(["none", "other", "overgrowth"]);

const alternatives = new Set(["or", "nor", "o", "ni"]);

const LONGEST_PHRASE = 8;

function longestAt<T>(
  words: readonly string[],
  at: number,
  known: ReadonlyMap<string, T>,
): { readonly value: T; readonly length: number } | null {
  for (let length = Math.min(LONGEST_PHRASE, words.length - at); length > 0; length--) {
    const value = known.get(words.slice(at, at + length).join(" "));
    if (value !== undefined) return { value, length };
  }
  return null;
}

/** Whether one of the three words before denies it: 'no sign of rot', 'not limping', 'sin cojera'. */
function denied(words: readonly string[], at: number): boolean {
  for (let i = Math.max(0, at - 3); i < at; i++) {
    // 'a clear limp' is no denial, 'clear of rot' is
    const weak = words[i] === "clear" || words[i] === "free";
    if (isNegation(words[i]!) && (!weak || words[i + 1] === "of")) return true;
  }
  return false;
}

/** 'trimmed down', 'taken down 5 mm', 'turned down': said of the horn, not of the animal. */
function worksDownwards(words: readonly string[], at: number): boolean {
  return handled.has(words[at - 1] ?? "") || /^\d|^(?:to|by)$/.test(words[at + 1] ?? "");
}

const handled = new Set([
  "trimmed",
  "trim",
  "took",
  "taken",
  "take",
  "taking",
  "cut",
  "cutting",
  "brought",
  "bring",
  "filed",
  "file",
  "ground",
  "worn",
  "wore",
  "pared",
  "turned",
  "turning",
  "calm",
  "calmed",
  "settled",
  "tied",
  "held",
  "nipped",
  "rasped",
]);
