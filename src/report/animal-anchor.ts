/** The name of an animal's panel within its page: letters, digits and dashes alone, different for different tags. */
export function animalAnchor(animal: string): string {
  const safe = Array.from(animal, (character) =>
    /[A-Za-z0-9-]/.test(character) ? character : `_${character.codePointAt(0)!.toString(16)}_`,
  );
  return `goat-${safe.join("")}`;
}

/** A link to an animal's panel from a page of the same season. */
export function animalHref(animal: string): string {
  return `animals.html#${animalAnchor(animal)}`;
}
