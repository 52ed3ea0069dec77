import type { SeasonPageInput } from "./season-page-input.ts";
import type { Link } from "./section.ts";

/** The name of an animal's panel within its page: letters, digits and dashes alone, different for different tags. */
export function animalAnchor(animal: string): string {
  const safe = Array.from(animal, (character) =>
    /[A-Za-z0-9-]/.test(character) ? character : `_${character.codePointAt(0)!.toString(16)}_`,
  );
  return `goat-${safe.join("")}`;
}

/** An animal's tag in a table of its season's pages, linked to its panel where it has one. */
export function animalCell(
  { animalPages }: Pick<SeasonPageInput, "animalPages">,
  animal: string,
): string | Link {
  const href = animalHref(animalPages, animal);
  return href === null ? animal : { text: animal, href };
}

/** The address of an animal's panel from a page of the same season; null where it has none. */
export function animalHref(animalPages: SeasonPageInput["animalPages"], animal: string): string | null {
  const page = animalPages.get(animal);
  return page === undefined ? null : `${page}#${animalAnchor(animal)}`;
}
