import { parse, TomlError } from "smol-toml";
import { z } from "zod";
import { gaitScaleIds, parseGaitScale } from "./gait-scales.ts";
import { type KindId, kindIds } from "./kinds.ts";
import { languages } from "./language.ts";
import { lesionIds } from "./lesion-kinds.ts";
import { nearest } from "./nearest.ts";
import { seasonSlug } from "./seasons.ts";

/**
 * What a flock says of itself in `flock.toml`. Every key is optional; the defaults are the project's own
 * (those marked 'common practice' have no source) and are printed as such.
 */

const tables = z.record(z.string(), z.string());

const gaitScale = z.string().transform((text, context) => {
  const id = parseGaitScale(text);
  if (id === null) context.addIssue({ code: "custom", message: `not one of ${gaitScaleIds.join(", ")}` });
  return id ?? "1-5";
});

const monthDay = z
  .string()
  .regex(/^(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$/, "not a month and day such as 03-01");

const flockName = z
  .string()
  .trim()
  .min(1)
  .refine((name) => name !== "all" && name !== "pooled", "a reserved name");

/** A season names a folder: it needs a letter or digit, and file systems allow some 250 bytes. */
const seasonName = z
  .string()
  .trim()
  .max(40, "longer than 40 characters")
  .refine((name) => seasonSlug(name) !== "", "a name without a letter or digit");

const isUnlike = (texts: readonly string[]): boolean => new Set(texts).size === texts.length;

const shape = {
  id: flockName.optional(),
  name: z.string().trim().min(1).optional(),
  flocks: z.enum(["by_folder", "one"]).optional(),
  units: z.enum(["mm", "in"]).optional(),
  language: z.enum(languages).optional(),
  day_first: z.boolean().optional(),
  latitude: z.number().min(-90).max(90).optional(),
  elevation_m: z.number().min(-500).max(6000).optional(),
  soil: z
    .enum([
      "sand",
      "loamy sand",
      "sandy loam",
      "loam",
      "silt loam",
      "silt",
      "silty clay loam",
      "silty clay",
      "clay",
    ])
    .optional(),
  gait_scale: gaitScale.optional(),
  lame_from: z.number().min(0).max(6).optional(),
  scorers: z.array(z.string()).optional(),
  /** Overhang that a trim should leave: 1/8 inch, common practice, no source. */
  trim_to_mm: z.number().min(0).max(20).default(3.2),
  /** Overhang at which a claw wants trimming: about eight weeks of ordinary growth after a trim, common practice, no source. */
  retrim_at_mm: z.number().min(0).max(50).default(9.5),
  /** Weeks after a look within which the next falls: common practice, no source. */
  check_weeks: z.tuple([z.number().min(1).max(52), z.number().min(1).max(52)]).default([6, 10]),
  /** Days after a clean look from which a new sign is a new case: project default. */
  case_gap_days: z.number().int().min(1).max(365).default(30),
  seasons: z
    .array(z.strictObject({ name: seasonName, starts: monthDay }))
    .min(1)
    .refine((seasons) => isUnlike(seasons.map(({ name }) => seasonSlug(name))), "two seasons of one name")
    .refine((seasons) => isUnlike(seasons.map(({ starts }) => starts)), "two seasons that start on one day")
    .optional(),
  unlisted_animals: z.enum(["set_aside", "take"]).default("set_aside"),
  fill_down: z.array(z.string()).default([]),
  expand_groups: z.boolean().default(false),
  sheet_is_animal: z.boolean().default(false),
  name_people: z.boolean().default(false),
  columns: tables.default({}),
  values: z.record(z.string(), tables).default({}),
  kinds: z.record(z.string(), z.enum(kindIds as unknown as [KindId, ...KindId[]])).default({}),
  lesions: z.record(z.string(), z.enum(lesionIds as unknown as [string, ...string[]])).default({}),
  same_animal: z.record(z.string(), z.string()).default({}),
};

const schema = z.strictObject(shape);

export type Settings = Readonly<z.infer<typeof schema>>;

export const defaultSettings: Settings = schema.parse({});

/** One thing wrong with a settings file, in words for the person who wrote it. */
export interface SettingsTrouble {
  readonly key: string;
  readonly says: string;
}

export type ReadSettings =
  | { readonly settings: Settings }
  | { readonly troubles: readonly SettingsTrouble[] };

/** Reads a `flock.toml`. All troubles are collected; an unknown key names the nearest known one. */
export function readSettings(toml: string): ReadSettings {
  let document: unknown;
  try {
    document = parse(toml);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    return {
      troubles: [
        { key: "", says: `line ${error.line}, column ${error.column}: ${error.message.split("\n")[0]}` },
      ],
    };
  }
  const read = schema.safeParse(document);
  return read.success ? { settings: read.data } : { troubles: read.error.issues.flatMap(toTroubles) };
}

function toTroubles(issue: z.core.$ZodIssue): SettingsTrouble[] {
  const path = issue.path.join(".");
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => {
      const known = path === "" ? nearest(key, Object.keys(shape)) : null;
      return {
        key: path === "" ? key : `${path}.${key}`,
        says: known === null ? "no such setting" : `no such setting; the nearest is ${known}`,
      };
    });
  }
  return [{ key: path, says: issue.message }];
}
