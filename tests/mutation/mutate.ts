import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";

export interface Mutant {
  readonly id: string;
  readonly file: string;
  readonly line: number;
  /** What stood there and what stands there now. */
  readonly says: string;
}

interface MadeMutant {
  readonly id: string;
  readonly fileName: string;
  readonly replacement: string;
  /** "Ignored" where it is of a kind that was left out: it is not in the code. */
  readonly status?: string;
  /** Lines and columns from 0. */
  readonly location: Record<"start" | "end", { readonly line: number; readonly column: number }>;
}

interface Instrumenter {
  instrument(
    files: readonly { readonly name: string; readonly content: string; readonly mutate: true }[],
    options: object,
  ): Promise<{
    readonly files: readonly { readonly name: string; readonly content: string }[];
    readonly mutants: readonly MadeMutant[];
  }>;
}

const root = fileURLToPath(new URL("../../", import.meta.url));

/**
 * Copies the project into a folder of its own in which every file of a folder of `src` whose name holds the
 * given word carries all its mutants, each asleep until it is switched on. Texts are left as they are: most are words.
 */
export async function mutate(
  folder: string,
  word: string,
): Promise<{ readonly sandbox: string; readonly mutants: readonly Mutant[] }> {
  const sandbox = join(root, ".mutation", folder.replaceAll("/", "-"));
  rmSync(sandbox, { recursive: true, force: true });
  mkdirSync(sandbox, { recursive: true });
  for (const name of readdirSync(root))
    if (!/^(\.|node_modules$|out$)/.test(name) && !name.endsWith(".duckdb"))
      cpSync(join(root, name), join(sandbox, name), {
        recursive: true,
        filter: (path) => !/(node_modules|dist)$/.test(path),
      });
  symlinkSync(join(root, "node_modules"), join(sandbox, "node_modules"));

  const files = readdirSync(join(sandbox, "src", folder), { recursive: true, encoding: "utf8" })
    .filter((name) => /\.tsx?$/.test(name) && name.includes(word))
    .map((name) => join(sandbox, "src", folder, name))
    .map((name) => ({ name, content: readFileSync(name, "utf8"), mutate: true as const }));
  const made = await (await instrumenter()).instrument(files, {
    ignorers: [],
    plugins: null,
    excludedMutations: ["StringLiteral"],
  });
  for (const { name, content } of made.files) writeFileSync(name, content);
  const texts = new Map(files.map(({ name, content }) => [name, content.split("\n")]));
  return {
    sandbox,
    mutants: made.mutants
      .filter(({ status }) => status !== "Ignored")
      .map(({ id, fileName, replacement, location: { start, end } }) => {
        const line = texts.get(fileName)![start.line]!;
        const was = line.slice(start.column, start.line === end.line ? end.column : undefined);
        return {
          id,
          file: relative(join(sandbox, "src", folder), fileName),
          line: start.line + 1,
          says: `${was} => ${replacement.replace(/\s+/g, " ")}`,
        };
      }),
  };
}

/** Stryker's, of its own lock file: nobody who only runs the program installs it. */
async function instrumenter(): Promise<Instrumenter> {
  const place = new URL("node_modules/@stryker-mutator/instrumenter/dist/src/index.js", import.meta.url);
  const { Instrumenter: Made } = (await import(place.href).catch((error: unknown) => {
    throw new Error("first: npm ci --prefix tests/mutation", { cause: error });
  })) as { Instrumenter: new (logger: object) => Instrumenter };
  const silent = (): void => undefined;
  return new Made({ debug: silent, info: silent, warn: silent, isDebugEnabled: () => false });
}
