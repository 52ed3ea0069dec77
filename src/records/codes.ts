import { associationCodes } from "./codes/associations.ts";
import { cautions } from "./codes/cautions.ts";
import { dietCodes } from "./codes/diet.ts";
import { matingCodes } from "./codes/mating.ts";
import { reasons } from "./codes/reasons.ts";
import { setAsideReasons } from "./codes/set-aside.ts";
import { studyPlanCodes } from "./codes/study-plan.ts";
import type { Language } from "./language.ts";
import { type LesionId, lesionKinds } from "./lesion-kinds.ts";

/**
 * The closed list of what the book says in codes: `code(argument,argument)`, several joined by `;`.
 * Tables keep codes, so that pages and queries word them late, in the reader's language.
 */
const catalogue = {
  ...setAsideReasons,
  ...cautions,
  ...reasons,
  ...associationCodes,
  ...dietCodes,
  ...matingCodes,
  ...studyPlanCodes,
};

export type SetAsideCode = keyof typeof setAsideReasons;
export type CautionCode = keyof typeof cautions;
export type ReasonCode = keyof typeof reasons;
export type Code = keyof typeof catalogue;

export const codeIds = Object.keys(catalogue) as readonly Code[];

/** Writes a code with its arguments; characters that the form needs are percent-escaped. */
export function code(id: Code, ...args: readonly (string | number)[]): string {
  return args.length === 0 ? id : `${id}(${args.map((arg) => escapeArgument(String(arg))).join(",")})`;
}

/** Joins codes; null when there is none, which is how tables keep 'nothing to say'. */
export function joinCodes(codes: readonly (string | null)[]): string | null {
  const given = codes.filter((one) => one !== null && one !== "");
  return given.length === 0 ? null : given.join(";");
}

export interface ReadCode {
  readonly id: Code;
  readonly args: readonly string[];
}

/** Reads what `code` and `joinCodes` wrote. Throws on a code that the list lacks: tables hold no others. */
export function readCodes(text: string | null): readonly ReadCode[] {
  if (text === null || text === "") return [];
  return text.split(";").map((one) => {
    const match = /^([a-z0-9_]+)(?:\((.*)\))?$/s.exec(one);
    const id = match?.[1];
    if (id === undefined || !Object.hasOwn(catalogue, id)) throw new Error(`not a known code: ${one}`);
    const args = match?.[2];
    return { id: id as Code, args: args === undefined ? [] : args.split(",").map(decodeURIComponent) };
  });
}

/** A code in words, its arguments put in. */
export function wordCode(one: ReadCode, language: Language): string {
  const entry = catalogue[one.id];
  return fill(
    entry.says[language],
    one.args.map((arg, i) => (entry.args[i] === "lesion" ? lesionInWords(arg, language) : arg)),
  );
}

function lesionInWords(lesion: string, language: Language): string {
  return lesionKinds[lesion as LesionId]?.words[language][0] ?? lesion;
}

/** What to do about a record that was set aside, in words; empty for codes that carry no advice. */
export function wordAdvice(one: ReadCode, language: Language): string {
  const entry = catalogue[one.id];
  return "advice" in entry ? fill(entry.advice[language], one.args) : "";
}

/** All codes of a cell in words, joined by `; `. */
export function wordCodes(text: string | null, language: Language): string {
  return readCodes(text)
    .map((one) => wordCode(one, language))
    .join("; ");
}

/** The template of a code, for the table `results.wording`. */
export function templateOf(id: Code, language: Language): string {
  return catalogue[id].says[language];
}

/** What the arguments of a code are, in their order. */
export function argumentsOf(id: Code): readonly string[] {
  return catalogue[id].args;
}

function fill(template: string, args: readonly string[]): string {
  return template.replace(/\{(\d)\}/g, (_, i) => args[Number(i)] ?? "");
}

function escapeArgument(text: string): string {
  return text.replace(
    /[%,;()]/g,
    (character) => `%${character.charCodeAt(0).toString(16).padStart(2, "0").toUpperCase()}`,
  );
}
