import type { Mating, MatingValue } from "../findings/breeding/mating.ts";
import { readCodes, wordCode, wordCodes } from "../records/codes.ts";
import type { Language } from "../records/language.ts";
import { type LengthUnit, toLengthUnit, unitName } from "./length-units.ts";
import { decimal, ratioWithLimits, whole, withLimits } from "./numbers.ts";
import { sentence } from "./words/count.ts";
import { matingWords } from "./words/mating.ts";

/** One pairing in words: what comes above its table, the table, what comes below. */
export interface MatingText {
  readonly above: readonly string[];
  readonly rows: readonly Readonly<Record<string, string>>[];
  readonly below: readonly string[];
}

export function matingText(
  mating: Mating,
  flock: { readonly name: string; readonly unit: LengthUnit },
  language: Language,
): MatingText {
  const words = matingWords[language];
  const unit = flock.unit;
  const { columns } = words;
  return {
    above: [
      words.title(flock.name, mating.sire.tag, mating.dam.tag),
      words.inbreeding(
        decimal(mating.expectedInbreeding, 3, language),
        oneIn(mating.expectedInbreeding, language),
      ),
      ...kinshipSentences(mating, language),
      ...readCodes(mating.caution).map((one) => sentence(wordCode(one, language))),
    ],
    rows: mating.values.flatMap(({ trait, ...of }) =>
      (["sire", "dam", "midParent"] as const).map((who) => ({
        [columns.trait]: words.trait(unitName(unit, language))[trait],
        [columns.of]: words.of[who],
        [columns.goat]: who === "midParent" ? "" : mating[who].tag,
        [columns.line]: who === "midParent" ? "" : (mating[who].line ?? ""),
        [columns.value]: shown(of[who], trait, unit, language),
        [columns.reliability]:
          of[who].told?.reliability == null ? "" : decimal(of[who].told.reliability, 2, language),
        [columns.records]: of[who].records === null ? "" : whole(of[who].records, language),
        [columns.note]: wordCodes(of[who].caution, language),
      })),
    ),
    below: [words.against, words.chance, words.onlyThis],
  };
}

/** `1 in 8` where the coefficient is such a share, as near as three decimals show. */
function oneIn(coefficient: number, language: Language): string | null {
  if (!(coefficient > 0)) return null;
  const parts = Math.round(1 / coefficient);
  return Math.abs(1 / parts - coefficient) < 0.0005
    ? { en: `1 in ${parts}`, es: `1 de ${parts}` }[language]
    : null;
}

function kinshipSentences({ sire, dam, shared }: Mating, language: Language): readonly string[] {
  const words = matingWords[language];
  if (shared.length === 0) return [words.noKin];
  const alike = new Map<string, string[]>();
  const sentences: string[] = [];
  for (const { tag, aboveSire, aboveDam, possible } of shared) {
    if (aboveSire === 0) sentences.push(words.isAncestor(sire.tag, dam.tag, aboveDam));
    else if (aboveDam === 0) sentences.push(words.isAncestor(dam.tag, sire.tag, aboveSire));
    else if (aboveSire !== aboveDam) {
      sentences.push(words.shareUneven(tag, sire.tag, aboveSire, dam.tag, aboveDam, possible));
    } else {
      const key = `${aboveSire} ${possible}`;
      alike.set(key, [...(alike.get(key) ?? []), tag]);
    }
  }
  for (const [key, tags] of alike) {
    const [generations, possible] = key.split(" ");
    sentences.push(words.shareOne(Number(generations), tags, possible === "true"));
  }
  return sentences;
}

function shown(
  { told }: MatingValue,
  trait: "growth" | "lameness",
  unit: LengthUnit,
  language: Language,
): string {
  if (told === null) return "";
  const of = (one: number): number => (trait === "growth" ? toLengthUnit(one, unit) : Math.exp(one));
  const scaled = { value: of(told.value), lo: of(told.lo), hi: of(told.hi) };
  return trait === "growth"
    ? withLimits(scaled, language, unit === "in" ? 3 : 2)
    : ratioWithLimits(scaled, language);
}
