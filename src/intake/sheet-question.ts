import { readCodes, wordAdvice, wordCodes } from "../records/codes.ts";
import type { Language } from "../records/language.ts";
import type { NotUnderstood } from "./reading.ts";

/** A worksheet as a keeper knows it: its file, and the worksheet where a file has several. */
export function sheetName({
  file,
  worksheet,
}: {
  readonly file: string;
  readonly worksheet: string | null;
}): string {
  return worksheet === null ? file : `${file}, ${worksheet}`;
}

/** Why a sheet is not read, and what to do. */
export function questionInWords({ reason }: NotUnderstood, language: Language): string {
  const advice = readCodes(reason).map((one) => wordAdvice(one, language));
  return `${wordCodes(reason, language)}. ${advice.join(" ")}`;
}
