import type { Language } from "../../records/language.ts";
import { whole } from "../numbers.ts";

/** `1 goat`, `1,412 intervals`: a count with the form of the noun that it takes. */
export type Counted = (n: number, one: string, many: string) => string;

export function counter(language: Language): Counted {
  return (n, one, many) => `${whole(n, language)} ${n === 1 ? one : many}`;
}

/** The text with its first letter as a capital, and a full stop at its end. */
export function sentence(text: string): string {
  const whole = text.charAt(0).toLocaleUpperCase() + text.slice(1);
  return /[.!?…]$/.test(whole) ? whole : `${whole}.`;
}

/** The text with its first letter as a capital. */
export function capital(text: string): string {
  return text.charAt(0).toLocaleUpperCase() + text.slice(1);
}
