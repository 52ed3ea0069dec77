import type { Language } from "../../../src/records/language.ts";
import { english } from "./english.ts";
import type { ExploreWords } from "./explore-words.ts";
import { spanish } from "./spanish.ts";

export const exploreWords: Readonly<Record<Language, ExploreWords>> = { en: english, es: spanish };
