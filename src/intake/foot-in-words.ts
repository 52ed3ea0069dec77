import { type ClawId, clawWords, type FootId, footIds, footWords } from "../records/feet.ts";

/** Feet and claw named in a text, and what is left of the text without them. */
export interface FootInWords {
  /** In the order LF, RF, LH, RH; several for 'all four' or 'both fronts'; empty when none is named. */
  readonly feet: readonly FootId[];
  readonly claw: ClawId | null;
  /** Folded words that name neither. */
  readonly rest: readonly string[];
  /** Whether the text leads with the foot ('LF: scald'), so that it may speak of what follows too. */
  readonly leads: boolean;
}

/**
 * Finds the foot and claw that a folded text names: `lf inner before`, `rh out toe`, `left front`,
 * `pezuna trasera derecha`, `lfi`, `both hinds`. In free text a short word such as `in` is a claw only right
 * behind a foot.
 */
export function footInWords(folded: string, freeText = false): FootInWords {
  const words = joinSingleLetters(folded === "" ? [] : folded.split(" ")).flatMap(splitGluedClaw);
  const feet = new Set<FootId>();
  const used = new Set<number>();
  for (let i = 0; i < words.length; i++) {
    const found = footAt(words, i);
    if (found === null) continue;
    for (const foot of found.feet) feet.add(foot);
    for (let j = i; j < i + found.length; j++) used.add(j);
    i += found.length - 1;
  }
  const leads = used.has(0);
  const claw = takeClaw(words, used, freeText);
  if (used.size > 0) {
    for (const [i, word] of words.entries()) if (filler.has(word)) used.add(i);
  }
  return {
    feet: footIds.filter((foot) => feet.has(foot)),
    claw,
    rest: words.filter((_, i) => !used.has(i)),
    leads,
  };
}

const glued = new Map<string, FootId>(
  footIds.flatMap((foot) => footWords.glued[foot].map((word) => [word, foot] as const)),
);
const filler = new Set<string>(footWords.filler);
const all = new Set<string>(footWords.all);
const sides = new Map<string, "L" | "R">([
  ...footWords.left.map((word) => [word, "L"] as const),
  ...footWords.right.map((word) => [word, "R"] as const),
]);
const ends = new Map<string, "F" | "H">([
  ...footWords.front.map((word) => [word, "F"] as const),
  ...footWords.hind.map((word) => [word, "H"] as const),
]);
const stockSides = new Map<string, "L" | "R">([
  ...footWords.near.map((word) => [word, "L"] as const),
  ...footWords.off.map((word) => [word, "R"] as const),
]);
const claws = new Map<string, ClawId>([
  ...clawWords.inner.map((word) => [word, "inner"] as const),
  ...clawWords.outer.map((word) => [word, "outer"] as const),
]);

function footAt(
  words: readonly string[],
  i: number,
): { readonly feet: readonly FootId[]; readonly length: number } | null {
  const alone = glued.get(words[i]!);
  if (alone !== undefined) return { feet: [alone], length: 1 };
  let j = i + 1;
  while (j < words.length && filler.has(words[j]!)) j++;
  const one = words[i]!;
  const other = words[j];
  if (other !== undefined) {
    const side = sides.get(one) ?? stockSides.get(one) ?? sides.get(other) ?? stockSides.get(other);
    const end = ends.get(other) ?? ends.get(one);
    const pair =
      (sides.has(one) || stockSides.has(one)) !== (sides.has(other) || stockSides.has(other)) &&
      ends.has(one) !== ends.has(other);
    if (pair && side !== undefined && end !== undefined) {
      return { feet: [`${side}${end}`], length: j - i + 1 };
    }
  }
  return all.has(one) ? severalFeet(words, i) : endAlone(words, i);
}

/** 'all four feet', 'both fronts', 'las cuatro patas', 'todas'. */
function severalFeet(
  words: readonly string[],
  i: number,
): { readonly feet: readonly FootId[]; readonly length: number } | null {
  let j = i;
  while (j < words.length && (all.has(words[j]!) || filler.has(words[j]!))) j++;
  const end = words[j] === undefined ? undefined : (ends.get(words[j]!) ?? ends.get(singular(words[j]!)));
  if (end !== undefined) return { feet: footIds.filter((foot) => foot.endsWith(end)), length: j - i + 1 };
  const named = words.slice(i, j);
  const means = named.some((word) => word === "four" || word === "cuatro") || named.some(isFeet);
  return means || named.length === words.length ? { feet: footIds, length: j - i } : null;
}

/** 'front feet', 'fronts', 'traseras', 'patas traseras': both feet of that end. */
function endAlone(
  words: readonly string[],
  i: number,
): { readonly feet: readonly FootId[]; readonly length: number } | null {
  const word = words[i]!;
  const plural = word.length > 3 && word.endsWith("s") ? ends.get(singular(word)) : undefined;
  const beside = word.length > 3 && isFeet(words[i + 1] ?? "") ? ends.get(word) : undefined;
  const end = plural ?? beside;
  if (end === undefined) return null;
  return {
    feet: footIds.filter((foot) => foot.endsWith(end)),
    length: plural === undefined || isFeet(words[i + 1] ?? "") ? 2 : 1,
  };
}

const manyFeet = new Set(["feet", "legs", "hooves", "patas", "pezunas"]);
const isFeet = (word: string): boolean => manyFeet.has(word);
const singular = (word: string): string => word.replace(/s$/, "");

function takeClaw(words: readonly string[], used: Set<number>, freeText: boolean): ClawId | null {
  let best: { readonly at: number; readonly claw: ClawId } | null = null;
  for (const [i, word] of words.entries()) {
    const claw = claws.get(word);
    if (used.has(i) || claw === undefined) continue;
    if (freeText && word.length < 4 && !used.has(i - 1)) continue;
    // 'in' may be inches, so a longer word for the claw wins over it
    if (best === null || (words[best.at]!.length < 3 && word.length >= 3)) best = { at: i, claw };
  }
  if (best === null) return null;
  used.add(best.at);
  return best.claw;
}

/** `L.F.` folds to `l f`, which is `lf`. */
function joinSingleLetters(words: readonly string[]): string[] {
  const joined: string[] = [];
  let letters = "";
  for (const word of [...words, "  "]) {
    if (/^[a-z]$/.test(word)) {
      letters += word;
      continue;
    }
    if (letters !== "") joined.push(letters);
    letters = "";
    if (word !== "  ") joined.push(word);
  }
  return joined;
}

/** `lfi`, `rhout`, `lfinner`, `lfib` hold foot, claw and before or after in one word. */
function splitGluedClaw(word: string): string[] {
  const match = /^([lrfhb]{2})(i|o|in|out|inner|outer|med|lat|medial|lateral)?(b|a|before|after)?$/.exec(
    word,
  );
  if (match === null || !glued.has(match[1]!)) return [word];
  const claw = match[2] === "i" ? "in" : match[2] === "o" ? "out" : match[2];
  const when = match[3] === "b" ? "before" : match[3] === "a" ? "after" : match[3];
  return [match[1]!, claw, when].filter((part) => part !== undefined);
}
