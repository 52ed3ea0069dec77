/**
 * Text as it is compared: lower case, without accents, everything but letters and digits as one space,
 * nothing at the ends. `Fecha de Visita (día)` becomes `fecha de visita dia`.
 */
export function fold(text: string): string {
  return text
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, " ")
    .trim();
}

/** A header as it is compared: like `fold`, with `toeBefore` and `toe_before` both as `toe before`. */
export function foldHeader(text: string): string {
  return fold(text.replace(/(\p{Ll})(\p{Lu})/gu, "$1 $2"));
}
