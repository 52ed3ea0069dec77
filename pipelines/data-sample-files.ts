import { sampleFlock } from "../src/demo/sample-flock.ts";
import type { SheetRow } from "../src/demo/sheet-row.ts";
import { kindIds } from "../src/records/kinds.ts";
import { writeDelimited } from "../src/sheets/write-delimited.ts";

/** Every sheet of data-samples/ by its path in it, and what a reader of the flock in `long/` must set aside. */
export interface DataSamples {
  readonly files: Readonly<Record<string, string | Uint8Array>>;
  readonly expectedSetAside: string;
}

/** Makes the sample folders from seeds: the same bytes whenever and wherever it runs. */
export function dataSamples(): DataSamples {
  const sample = sampleFlock();
  const files: Record<string, string | Uint8Array> = {};
  for (const kind of kindIds) {
    if (sample.sheets[kind].length > 0) files[`long/${kind}.csv`] = csv(sample.sheets[kind]);
  }
  const setAside = sample.faults.map(({ kind, ...fault }) => ({ file: `${kind}.csv`, ...fault }));
  return { files, expectedSetAside: csv(setAside) };
}

/** Rows as CSV under the names of their columns; a column that is empty throughout is left out. */
function csv(rows: readonly SheetRow[]): string {
  const columns = Object.keys(rows[0]).filter((column) => rows.some((row) => row[column] !== null));
  return writeDelimited([columns, ...rows.map((row) => columns.map((column) => row[column]))]);
}
