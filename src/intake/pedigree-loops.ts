export interface ParentLink {
  readonly flock: string;
  readonly animal: string;
  readonly parent: string;
}

export interface LoopLink extends ParentLink {
  /** The animals of the shortest loop through this link, each the kid of the next. */
  readonly loop: readonly string[];
}

/**
 * The links that lie on a loop of kids and parents, each with the shortest loop through it. A link lies on
 * one when a way leads from its parent back to its animal.
 */
export function loopsOf(links: readonly ParentLink[]): readonly LoopLink[] {
  const parents = new Map<string, string[]>();
  for (const { flock, animal, parent } of links) {
    const key = keyOf(flock, animal);
    parents.set(key, [...(parents.get(key) ?? []), parent]);
  }
  return links.flatMap((link) => {
    const way = shortestWay(parents, link.flock, link.parent, link.animal);
    return way === null ? [] : [{ ...link, loop: [link.animal, ...way.slice(0, -1)] }];
  });
}

/** `A > B > A`: A's parent is B and B's parent is A. The same loop reads the same from each of its links. */
export function chainOf(loop: readonly string[]): string {
  const start = loop.indexOf([...loop].sort()[0]!);
  const turned = [...loop.slice(start), ...loop.slice(0, start)];
  return [...turned, turned[0]!].join(" > ");
}

/** The animals from one up its ancestors to another, both included; null when no way leads there. */
function shortestWay(
  parents: ReadonlyMap<string, readonly string[]>,
  flock: string,
  from: string,
  to: string,
): string[] | null {
  const reachedFrom = new Map<string, string | null>([[from, null]]);
  const waiting = [from];
  for (let i = 0; i < waiting.length; i++) {
    const at = waiting[i]!;
    if (at === to) {
      const way: string[] = [];
      for (let step: string | null = at; step !== null; step = reachedFrom.get(step) ?? null)
        way.unshift(step);
      return way;
    }
    for (const next of parents.get(keyOf(flock, at)) ?? []) {
      if (reachedFrom.has(next)) continue;
      reachedFrom.set(next, at);
      waiting.push(next);
    }
  }
  return null;
}

function keyOf(flock: string, animal: string): string {
  return JSON.stringify([flock, animal]);
}
