/** How often the limits of one figure held the truth: a share for each flock that was given limits. */
export interface Tally {
  readonly what: string;
  /** Share of the flock's own figures whose limits hold the truth; null: the flock was given none. */
  readonly shares: (number | null)[];
}

export interface CoverageRow {
  readonly what: string;
  readonly flocks: number;
  /** Share of flocks that were given no figure. */
  readonly silent: number;
  readonly got: number;
  readonly standardError: number;
  readonly lo: number;
  readonly hi: number;
  readonly passes: boolean;
}

/** Counts figures by name, one share a flock. */
export class Tallies {
  readonly #tallies = new Map<string, Tally>();

  /** Notes the figures of one flock: for each whether its limits hold the truth. */
  note(what: string, held: readonly boolean[]): void {
    const tally = this.#tallies.get(what) ?? { what, shares: [] };
    this.#tallies.set(what, tally);
    tally.shares.push(held.length === 0 ? null : held.filter(Boolean).length / held.length);
  }

  /** Coverage of each figure: it passes within the bounds, or within two standard errors of them by flock. */
  rows(bounds: (what: string) => { readonly lo: number; readonly hi: number }): CoverageRow[] {
    return [...this.#tallies.values()].map(({ what, shares }) => {
      const given = shares.filter((share) => share !== null);
      const got = given.reduce((sum, share) => sum + share, 0) / given.length;
      const squares = given.reduce((sum, share) => sum + (share - got) ** 2, 0);
      const standardError = Math.sqrt(squares / Math.max(1, given.length - 1) / given.length);
      const { lo, hi } = bounds(what);
      return {
        what,
        flocks: shares.length,
        silent: (shares.length - given.length) / shares.length,
        got,
        standardError,
        lo,
        hi,
        passes: given.length === 0 || (got >= lo - 2 * standardError && got <= hi + 2 * standardError),
      };
    });
  }
}
