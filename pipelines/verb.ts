import { parseArgs } from "node:util";
import { type DayNumber, isoDay, parseIsoDay } from "../src/records/days.ts";
import { type Language, languages } from "../src/records/language.ts";
import { nearest } from "../src/records/nearest.ts";
import type { Rim } from "./rim.ts";
import { Unusable } from "./unusable.ts";

/** One option of a verb: `value` names what it takes; without it the option is a switch. */
export interface Option {
  readonly value?: string;
  readonly says: string;
}

export interface Verb {
  readonly name: string;
  /** The words after the verb, as help prints them. */
  readonly words: string;
  readonly says: string;
  readonly options: Readonly<Record<string, Option>>;
  readonly leastWords: number;
  readonly mostWords: number;
  run(call: Call, rim: Rim): Promise<number>;
}

/** A call's words and options, checked against the verb. */
export interface Call {
  readonly words: readonly string[];
  text(name: string): string | null;
  flag(name: string): boolean;
  number(name: string): number | null;
  day(name: string): DayNumber | null;
  readonly language: Language | null;
}

/** Options that every verb takes. */
const commonOptions: Readonly<Record<string, Option>> = {
  book: { value: "FILE", says: "the book (default: flock.duckdb here; in --out for run)" },
  flock: { value: "ID", says: "only this flock" },
  language: { value: "en|es", says: "language of pages and messages" },
  quiet: { says: "no progress" },
  strict: { says: "exit 3 when a record was set aside" },
  debug: { says: "show where in the program an error arose" },
  help: { says: "this help" },
};

export function parseCall(verb: Verb, argv: readonly string[]): Call {
  const options = { ...verb.options, ...commonOptions };
  let parsed: { values: Record<string, string | boolean | undefined>; positionals: string[] };
  try {
    parsed = parseArgs({
      args: [...argv],
      allowPositionals: true,
      options: Object.fromEntries(
        Object.entries(options).map(([name, option]) => [
          name,
          { type: option.value === undefined ? "boolean" : "string" } as const,
        ]),
      ),
    }) as typeof parsed;
  } catch (error) {
    throw new Unusable(wordParseError(error as Error & { code?: string }, Object.keys(options), verb));
  }
  const { values, positionals: words } = parsed;
  if (words.length < verb.leastWords || words.length > verb.mostWords) {
    throw new Unusable(`coronet ${verb.name} takes: ${verb.words || "no words"}; ${words.length} given`);
  }
  const text = (name: string): string | null => (typeof values[name] === "string" ? values[name] : null);
  const language = text("language");
  if (language !== null && !languages.includes(language as Language)) {
    throw new Unusable(`--language is ${language}; it can be ${languages.join(" or ")}`);
  }
  return {
    words,
    text,
    flag: (name) => values[name] === true,
    number(name) {
      const given = text(name);
      if (given === null) return null;
      const value = Number(given);
      if (given.trim() === "" || !Number.isFinite(value))
        throw new Unusable(`--${name} is ${given}; it must be a number`);
      return value;
    },
    day(name) {
      const given = text(name);
      if (given === null) return null;
      const value = parseIsoDay(given);
      if (value === null) throw new Unusable(`--${name} is ${given}; write a day such as ${isoDay(19_791)}`);
      return value;
    },
    language: language as Language | null,
  };
}

function wordParseError(error: Error & { code?: string }, known: readonly string[], verb: Verb): string {
  const option = /'(-{1,2}[^' ]+)/.exec(error.message)?.[1] ?? "";
  if (error.code === "ERR_PARSE_ARGS_UNKNOWN_OPTION") {
    const near = nearest(option.replace(/^-+/, ""), known);
    return `coronet ${verb.name} has no option ${option}${near === null ? "" : `; did you mean --${near}?`}`;
  }
  return `coronet ${verb.name}: ${error.message.split(".")[0]}`;
}

export function helpOf(verb: Verb): string {
  const lines = Object.entries({ ...verb.options, ...commonOptions }).map(
    ([name, option]) =>
      [`--${name}${option.value === undefined ? "" : ` ${option.value}`}`, option.says] as const,
  );
  const wide = Math.max(...lines.map(([name]) => name.length));
  return [
    `coronet ${verb.name} ${verb.words}`.trim(),
    `  ${verb.says}`,
    "",
    ...lines.map(([name, says]) => `  ${name.padEnd(wide)}  ${says}`),
  ].join("\n");
}
