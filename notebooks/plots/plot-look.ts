/** What every plot of the notebooks has in common: the page's own colours and type. */
export const plotLook = {
  style: {
    background: "none",
    color: "var(--ink)",
    fontFamily: "inherit",
    fontSize: "13px",
    overflow: "visible",
  },
} as const;

/** Room on the left for names of this length, px, never more than two fifths of the width. */
export function roomFor(names: readonly string[], width: number): number {
  const longest = Math.max(0, ...names.map((name) => name.length));
  return Math.round(Math.min(16 + longest * 7.2, width * 0.4));
}
