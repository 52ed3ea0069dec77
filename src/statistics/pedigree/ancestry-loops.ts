import { eachParent, type ParentLinks, parentAt } from "./parent-links.ts";
import type { Loop } from "./pedigree-fault.ts";

/** One shortest loop through every animal that is its own ancestor, unless a loop before it shows it. */
export function ancestryLoops(links: ParentLinks): Loop[] {
  const found: Loop[] = [];
  const shown = new Set<number>();
  for (const group of stronglyConnected(links)) {
    const inside = new Set(group);
    for (const animal of group.sort((a, b) => a - b)) {
      if (shown.has(animal)) continue;
      const chain = shortestLoop(animal, links, inside);
      for (const member of chain) shown.add(member);
      found.push({ code: "loop", chain });
    }
  }
  return found;
}

/**
 * Groups of two animals or more that are all ancestors of one another: the strongly connected components
 * of the parent graph (Tarjan 1972, SIAM J. Comput. 1:146-160), without recursion.
 */
function stronglyConnected(links: ParentLinks): number[][] {
  const index = new Int32Array(links.size).fill(-1);
  const low = new Int32Array(links.size);
  const next = new Int32Array(links.size);
  const open = new Uint8Array(links.size);
  const path: number[] = [];
  const held: number[] = [];
  const groups: number[][] = [];
  let counter = 0;
  for (let root = 0; root < links.size; root++) {
    if (index[root] >= 0) continue;
    path.push(root);
    while (path.length > 0) {
      const i = path[path.length - 1];
      if (index[i] < 0) {
        index[i] = low[i] = counter++;
        held.push(i);
        open[i] = 1;
      }
      const parent = parentAt(links, i, next[i]++);
      if (parent >= 0) {
        if (index[parent] < 0) path.push(parent);
        else if (open[parent] === 1) low[i] = Math.min(low[i], index[parent]);
        continue;
      }
      path.pop();
      if (path.length > 0) low[path[path.length - 1]] = Math.min(low[path[path.length - 1]], low[i]);
      if (low[i] !== index[i]) continue;
      const group = held.splice(held.lastIndexOf(i));
      for (const member of group) open[member] = 0;
      if (group.length > 1) groups.push(group);
    }
  }
  return groups;
}

function shortestLoop(animal: number, links: ParentLinks, inside: ReadonlySet<number>): number[] {
  const kidOf = new Map<number, number>();
  const queue = [animal];
  for (let head = 0; head < queue.length && !kidOf.has(animal); head++) {
    eachParent(links, queue[head], (parent) => {
      if (!inside.has(parent) || kidOf.has(parent)) return;
      kidOf.set(parent, queue[head]);
      queue.push(parent);
    });
  }
  const chain = [animal];
  for (let kid = kidOf.get(animal); kid !== undefined && kid !== animal; kid = kidOf.get(kid))
    chain.push(kid);
  return [...chain, animal].reverse();
}
