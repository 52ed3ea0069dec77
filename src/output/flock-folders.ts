/** Names that the output folder uses itself, and those that Windows keeps for devices (Microsoft: Naming files, paths, and namespaces). */
const kept = /^(results|pooled|con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])$/;

/** Bytes of UTF-8 that a folder's name may take: half of what file systems allow, room for what follows. */
const LONGEST = 120;

/**
 * A folder name for each flock: nothing in it climbs out of the output folder or is invisible, and no two are
 * the same on a disk that does not tell capitals from small letters.
 */
export function flockFolders(flocks: readonly string[]): ReadonlyMap<string, string> {
  const taken = new Set<string>();
  const folders = new Map<string, string>();
  for (const id of flocks) {
    const stem = shortened(
      id
        .normalize("NFC")
        .replace(/[^\p{L}\p{N}\p{M} _-]+/gu, "-")
        .trim(),
    );
    const free = (name: string): boolean => !kept.test(name.toLowerCase()) && !taken.has(name.toLowerCase());
    let name = stem === "" ? "flock" : stem;
    for (let n = 2; !free(name); n++) name = `${stem === "" ? "flock" : stem}-${n}`;
    taken.add(name.toLowerCase());
    folders.set(id, name);
  }
  return folders;
}

function shortened(name: string): string {
  const letters = [...name];
  while (new TextEncoder().encode(letters.join("")).length > LONGEST) letters.pop();
  return letters.join("").trim();
}
