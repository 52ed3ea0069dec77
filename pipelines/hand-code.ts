import { fileURLToPath } from "node:url";
import { build } from "esbuild";

/** What a thread does, in one piece of JavaScript: reading hundreds of files of TypeScript takes each thread seconds. */
export async function handCode(): Promise<URL> {
  const entry = new URL("./hand.ts", import.meta.url);
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(entry)],
    bundle: true,
    write: false,
    format: "esm",
    platform: "node",
    target: "node20",
    banner: {
      // libraries in the older module format ask for Node's own modules by `require`
      js: `import { createRequire } from "node:module"; const require = createRequire("${entry}");`,
    },
    // what a failure's stack names in place of the code itself
    footer: { js: `//# sourceURL=${entry}` },
  });
  return new URL(`data:text/javascript;base64,${Buffer.from(outputFiles[0]!.contents).toString("base64")}`);
}
