import { fold } from "./fold.ts";

/** Leads the animal of a row that speaks of a group and is to be expanded; the group's words follow. */
export const groupMark = "expand:";

/** Whether the animal cell of a row names several animals at once. */
export type GroupTest = (text: string) => boolean;

/**
 * A test for cells that name a group (`all`, `does`, `pen A`, `12-20`, `12, 14, 15`). What is a known tag is
 * never a group; `12-20` is one only where its ends are tags themselves, known ones or, without an animals
 * sheet, others of the same sheet.
 */
export function groupTest(known: ReadonlySet<string> | null, ofSheet: ReadonlySet<string>): GroupTest {
  const tags = known ?? ofSheet;
  return (text) => {
    const cell = text.trim();
    if (known?.has(cell)) return false;
    const words = fold(cell);
    return groupNames.has(words) || groupPhrase.test(words) || isRange(cell, tags) || isList(cell, tags);
  };
}

const groupNames = new Set(
  (
    "all,everyone,everybody,every goat,herd,flock,goats,does,doelings,bucks,bucklings,kids,yearlings,wethers," +
    "milkers,dry does,rest,the rest,others,the others,remaining,todas,todos,cabras,rebano,hato,crias,cabritos," +
    "cabritas,machos,hembras,sementales,primalas,resto,el resto,las demas,demas"
  ).split(","),
);

const groupPhrase =
  /^(?:all|whole|entire|every|rest|toda|todo|todas|todos|resto)(?: (?:of|the|de|del|la|el|las|los))* \p{L}[\p{L} ]*$|^(?:pen|group|lot|paddock|yard|barn|corral|grupo|lote|potrero|establo) \S+$/u;

function isRange(cell: string, tags: ReadonlySet<string>): boolean {
  const match = /^(.*?)(\d+)\s*(?:-|–|\.\.|to|thru|through|a|al)\s*(.*?)(\d+)$/i.exec(cell);
  if (match === null) return false;
  const [, prefix, first, secondPrefix, last] = match as unknown as [string, string, string, string, string];
  if (Number(first) >= Number(last) || (secondPrefix !== "" && secondPrefix !== prefix)) return false;
  return tags.has(prefix + first) && tags.has(prefix + last);
}

function isList(cell: string, tags: ReadonlySet<string>): boolean {
  const pieces = cell.split(/\s*[,;+&]\s*|\s+(?:and|y)\s+/).filter((piece) => piece !== "");
  return pieces.length > 1 && pieces.every((piece) => tags.has(piece));
}
