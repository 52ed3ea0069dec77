import { buildNotebooks, siteFolder } from "./build-notebooks.ts";

/** `npm run notebooks`: builds the site, into another folder when one is given. */
const out = process.argv[2] ?? siteFolder;
await buildNotebooks(out);
process.stdout.write(
  `Built the notebooks in ${out}. Put that folder on any static host, or run coronet notebook.\n`,
);
