/** What mutated code and whoever switches its mutants share, on the global object. */
export interface MutantSpace {
  activeMutant?: string;
  currentTestId?: string;
  hitCount?: number;
  hitLimit?: number;
  readonly mutantCoverage?: {
    readonly static: Readonly<Record<string, number>>;
    readonly perTest: Readonly<Record<string, Readonly<Record<string, number>>>>;
  };
}
