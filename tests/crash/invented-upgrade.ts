import { openOrExplain, type Upgrade } from "../../pipelines/open-book.ts";
import { schemaVersion } from "../../src/book/schema.ts";

/** Two steps to versions that there are not yet, which write into the largest tables. */
const inventedUpgrade: Upgrade = {
  steps: [
    {
      from: schemaVersion,
      says: "claw records say their season",
      run: (book) =>
        book.run(
          "ALTER TABLE herd.claw_record ADD COLUMN season VARCHAR; UPDATE herd.claw_record SET season = 'spring'",
        ),
    },
    {
      from: schemaVersion + 1,
      says: "raw rows are kept under another name",
      run: (book) =>
        book.run(
          "CREATE TABLE intake.row_as_read AS SELECT *, 1 AS page FROM intake.raw_row; DELETE FROM intake.raw_row",
        ),
    },
  ],
  to: schemaVersion + 2,
};

/** Opens a book as a program of that version would, which brings it up first. */
export async function bringUpAsInvented(path: string): Promise<void> {
  await (await openOrExplain(path, false, inventedUpgrade)).close();
}
