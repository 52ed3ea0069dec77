import { code } from "../records/codes.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";
import { fold } from "./fold.ts";
import { readTag } from "./read-tag.ts";

/**
 * Reads a parent, or candidate parents with or without shares: `B1`, `B1 / B2`, `B1 70% / B2 30%`,
 * `B1 (0.7) / B2`. Kept as `B1 70% / B2 30%`, and as the bare tag when there is only one. A stroke inside a
 * tag (`UK/123`) does not part it, unless each piece is itself a known tag and the whole is not. `?` and
 * `unknown` name nobody: null.
 */
export function readParents(text: string, knownAnimals: ReadonlySet<string> | null): CellRead<string | null> {
  if (unknown.has(fold(text))) return taken(null);
  const pieces = candidates(text.trim(), knownAnimals);
  const read: { tag: string; share: number | null }[] = [];
  for (const piece of pieces) {
    const match = /^(.+?)\s*(?:[(:@]\s*)?(?:(\d{1,3}(?:[.,]\d+)?)\s*%|(?<=[(:@]\s*)(0?[.,]\d+|1|0))\)?$/.exec(
      piece,
    );
    const tag = readTag(match?.[1] ?? piece);
    if ("trouble" in tag) return tag;
    const share = match === null ? null : match[2] ? toNumber(match[2]) / 100 : toNumber(match[3]!);
    read.push({ tag: tag.value, share });
  }
  const given = read.reduce((sum, { share }) => sum + (share ?? 0), 0);
  const open = read.filter(({ share }) => share === null).length;
  if (given > 1.001 || (open === 0 && given < 0.99)) return refused(code("shares_do_not_add"));
  if (read.length === 1) return taken(read[0]!.tag);
  if (open === read.length) return taken(read.map(({ tag }) => tag).join(" / "));
  const rest = open === 0 ? 0 : (1 - given) / open;
  return taken(
    read.map(({ tag, share }) => `${tag} ${Math.round((share ?? rest) * 1e4) / 100}%`).join(" / "),
  );
}

const unknown = new Set(["", "unknown", "not known", "unk", "desconocido", "desconocida", "no se sabe"]);

function candidates(text: string, known: ReadonlySet<string> | null): string[] {
  if (known?.has(text)) return [text];
  const spaced = text.split(/\s+\/\s+|\s*;\s*|\s+(?:or|o)\s+/i).filter((piece) => piece !== "");
  if (spaced.length > 1) return spaced;
  const bare = text.split("/").map((piece) => piece.trim());
  const each =
    bare.length > 1 && bare.every((piece) => known?.has(piece.replace(/\s*\(?\d[\d.,]*\s*%\)?$/, "")));
  return each ? bare : [text];
}

function toNumber(text: string): number {
  return Number(text.replace(",", "."));
}
