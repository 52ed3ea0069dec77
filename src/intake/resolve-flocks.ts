import { parse, stringify } from "smol-toml";
import { defaultSettings, readSettings, type Settings } from "../records/settings.ts";
import type { FlockToTake } from "./flock-settings.ts";
import type { UsageTrouble } from "./usage-trouble.ts";

export interface SettingsFile {
  /** Folder in which it lies, relative to the folder given; empty for that folder itself. */
  readonly folder: string;
  readonly text: string;
}

export interface Flocks {
  /** The flock that a file's folder gives it. */
  of(file: string): FlockToTake;
  readonly all: readonly FlockToTake[];
  /** Whether the top settings say how subfolders are meant. */
  readonly foldersAnswered: boolean;
  /** Folders that are flocks by their own settings. */
  readonly ownFolders: readonly string[];
}

const DEFAULT_FLOCK = "flock";

/** Names of 'every flock' in tables and folders. */
const reserved = ["all", "pooled"];

/**
 * Which flock each file belongs to, and with what settings. A subfolder with settings of its own is a flock
 * (its `id`, else the folder's name); `flocks = "by_folder"` in the top settings makes every subfolder one;
 * otherwise all is one flock: without top settings the one that the book holds already (`standing`). A
 * subfolder's settings stand on the top ones, key by key.
 */
export function resolveFlocks(
  files: readonly string[],
  settingsFiles: readonly SettingsFile[],
  standing: FlockToTake | null = null,
): Flocks | { readonly troubles: readonly UsageTrouble[] } {
  const troubles = settingsFiles.flatMap(({ folder, text }): UsageTrouble[] => {
    const read = readSettings(text);
    return "troubles" in read
      ? read.troubles.map(({ key, says }) => ({ code: "settings", file: settingsPath(folder), key, says }))
      : [];
  });
  if (troubles.length > 0) return { troubles };
  const top = settingsFiles.find(({ folder }) => folder === "");
  const topSettings = top ? settingsOf(top.text) : defaultSettings;
  const own = settingsFiles
    .filter(({ folder }) => folder !== "")
    .map(({ folder, text }) => ({ folder, settings: settingsOf(onTopOf(top?.text ?? "", text)) }));
  const byFolder = topSettings.flocks === "by_folder";

  const named = new Map<string, FlockToTake>();
  // once a folder, however many files it has
  const tell = (trouble: Extract<UsageTrouble, { readonly where: string }>): void => {
    if (!troubles.some((one) => one.code === trouble.code && one.where === trouble.where))
      troubles.push(trouble);
  };
  const name = (
    flock: string,
    settings: Settings,
    namedBy: FlockToTake["namedBy"],
    where: string,
  ): FlockToTake => {
    if (reserved.includes(flock.toLowerCase())) tell({ code: "reserved_flock", name: flock, where });
    const before = named.get(flock);
    if (before && before.settings !== settings) tell({ code: "flock_named_twice", name: flock, where });
    const made = before ?? { flock, settings, namedBy };
    named.set(flock, made);
    return made;
  };
  const flockOf = new Map<string, FlockToTake>();
  for (const file of files) {
    const owner = own
      .filter(({ folder }) => file.startsWith(`${folder}/`))
      .sort((a, b) => b.folder.length - a.folder.length)[0];
    const folder = subfolderOf(file);
    if (owner !== undefined) {
      const id = owner.settings.id ?? owner.folder.split("/").at(-1)!;
      flockOf.set(file, name(id, owner.settings, "folder", owner.folder));
    } else if (byFolder && folder !== "") {
      flockOf.set(file, name(folder, topSettings, "folder", folder));
    } else if (top === undefined && standing !== null) {
      flockOf.set(file, name(standing.flock, standing.settings, standing.namedBy, settingsPath("")));
    } else {
      flockOf.set(file, name(topSettings.id ?? DEFAULT_FLOCK, topSettings, "settings", settingsPath("")));
    }
  }
  if (troubles.length > 0) return { troubles };
  return {
    of: (file) => flockOf.get(file)!,
    all: [...named.values()],
    foldersAnswered: topSettings.flocks !== undefined,
    ownFolders: own.map(({ folder }) => folder),
  };
}

/** The first folder of a path; empty for a file that lies in the folder given. */
export function subfolderOf(file: string): string {
  const stroke = file.indexOf("/");
  return stroke < 0 ? "" : file.slice(0, stroke);
}

function settingsOf(text: string): Settings {
  const read = readSettings(text);
  if ("troubles" in read) throw new Error(`settings that were read before: ${JSON.stringify(read.troubles)}`);
  return read.settings;
}

/** A subfolder's settings with those of the top put under them; who the flock is does not carry down. */
function onTopOf(top: string, own: string): string {
  const { id: _id, name: _name, flocks: _flocks, ...under } = parse(top);
  const over = parse(own);
  const merged: Record<string, unknown> = { ...under };
  for (const [key, value] of Object.entries(over)) {
    const below = merged[key];
    merged[key] = isTable(below) && isTable(value) ? { ...below, ...value } : value;
  }
  return stringify(merged);
}

function isTable(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function settingsPath(folder: string): string {
  return folder === "" ? "flock.toml" : `${folder}/flock.toml`;
}
