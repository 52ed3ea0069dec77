import { fold } from "./fold.ts";

export interface Group {
  readonly sex: "female" | "male" | "wether" | null;
  readonly pen: string | null;
  /** A range of tags: what stands before their numbers, and the first and last number. */
  readonly range: { readonly before: string; readonly first: number; readonly last: number } | null;
  /** Tags one by one. */
  readonly tags: readonly string[] | null;
}

/** Whom the words of a group mean; null when they do not say it plainly enough to take records by them. */
export function readGroup(words: string): Group | null {
  const plain = fold(words);
  if (everyone.has(plain)) return group({});
  for (const sex of ["female", "male", "wether"] as const) {
    if (sexes[sex].has(plain)) return group({ sex });
  }
  const pen =
    /^(?:all (?:of |in |the )*)?(?:pen|paddock|group|lot|yard|barn|corral|potrero|grupo|lote|establo)\s+(.+)$/i.exec(
      words.trim(),
    );
  if (pen) return group({ pen: pen[1]!.trim() });
  const range = /^([^\d]*?)(\d+)\s*(?:-|–|\.\.|to|thru|through|a|al)\s*([^\d]*?)(\d+)$/i.exec(words.trim());
  if (range && (range[3] === "" || range[3] === range[1]) && Number(range[2]) < Number(range[4])) {
    return group({ range: { before: range[1]!, first: Number(range[2]), last: Number(range[4]) } });
  }
  const tags = words.split(/\s*[,;+&]\s*|\s+(?:and|y)\s+/).filter((piece) => piece !== "");
  return tags.length > 1 ? group({ tags }) : null;
}

const list = (text: string): ReadonlySet<string> => new Set(text.split(","));

/** Whoever has a record of its own that day is left out when a group is taken, so the rest are everyone too. */
const everyone = list(
  "all,everyone,everybody,every goat,all goats,goats,herd,flock,whole herd,whole flock,the whole herd,the whole flock," +
    "rest,the rest,others,the others,all others,remaining,todas,todos,rebano,hato,todo el rebano,todo el hato," +
    "resto,el resto,las demas,demas",
);

const sexes: Readonly<Record<"female" | "male" | "wether", ReadonlySet<string>>> = {
  female: list("does,all does,all the does,nannies,females,hembras,todas las hembras"),
  male: list("bucks,all bucks,all the bucks,billies,males,machos,sementales,todos los machos"),
  wether: list("wethers,all wethers,all the wethers,castrados,todos los castrados"),
};

function group(said: Partial<Group>): Group {
  return { sex: null, pen: null, range: null, tags: null, ...said };
}
