import type { Language } from "../../records/language.ts";

/** Kinds of group that figures are told for. */
export type GroupKind = "foot" | "claw" | "pen" | "ground" | "line" | "age_band" | "class" | "arm";

/** One end of a list of groups, as a sentence tells it. */
export interface EndInWords {
  /** The group as a place: `in the Elder line`. */
  readonly place: string;
  /** Its figure with limits. */
  readonly says: string;
  readonly animals: number;
}

/** How groups are called: as a label, and as the place or goats that a sentence speaks of. */
export interface GroupWords {
  readonly label: (kind: string, value: string) => string;
  /** `on pasture`, `in the Elder line`, `in yearlings` */
  readonly place: (kind: string, value: string) => string;
  readonly unknownPen: string;
  readonly wholeFlock: string;
}

type Named = Readonly<Record<string, { readonly label: string; readonly place: string }>>;
type Kinds = Readonly<Partial<Record<GroupKind, Named>>>;

const english: Kinds = {
  foot: {
    LF: { label: "left front", place: "on the left front foot" },
    RF: { label: "right front", place: "on the right front foot" },
    LH: { label: "left hind", place: "on the left hind foot" },
    RH: { label: "right hind", place: "on the right hind foot" },
  },
  claw: {
    inner: { label: "inner", place: "on inner claws" },
    outer: { label: "outer", place: "on outer claws" },
  },
  ground: {
    "rocky range": { label: "rocky range", place: "on rocky range" },
    pasture: { label: "pasture", place: "on pasture" },
    "dry lot": { label: "dry lot", place: "on the dry lot" },
    wood: { label: "wood", place: "on wood" },
    concrete: { label: "concrete", place: "on concrete" },
    "bedded barn": { label: "bedded barn", place: "in the bedded barn" },
    other: { label: "other ground", place: "on other ground" },
    unknown: { label: "ground not known", place: "on ground that is not known" },
  },
  age_band: {
    kid: { label: "kids, under 6 months", place: "in kids" },
    young: { label: "young, 6 to 12 months", place: "in young goats" },
    yearling: { label: "yearlings", place: "in yearlings" },
    adult: { label: "adults, 2 to 6 years", place: "in adults" },
    older: { label: "older", place: "in older goats" },
    unknown: { label: "age not known", place: "in goats of unknown age" },
  },
  class: {
    kid: { label: "kids", place: "in kids" },
    growing: { label: "growing", place: "in growing goats" },
    "late pregnant": { label: "late pregnant", place: "in late pregnant does" },
    milking: { label: "milking", place: "in milking does" },
    dry: { label: "dry", place: "in dry does" },
    buck: { label: "bucks", place: "in bucks" },
    wether: { label: "wethers", place: "in wethers" },
    unknown: { label: "class not known", place: "in goats of unknown class" },
  },
  line: { unknown: { label: "line not known", place: "in goats of no known line" } },
};

const spanish: Kinds = {
  foot: {
    LF: { label: "delantera izquierda", place: "en la pata delantera izquierda" },
    RF: { label: "delantera derecha", place: "en la pata delantera derecha" },
    LH: { label: "trasera izquierda", place: "en la pata trasera izquierda" },
    RH: { label: "trasera derecha", place: "en la pata trasera derecha" },
  },
  claw: {
    inner: { label: "interna", place: "en las pezuñas internas" },
    outer: { label: "externa", place: "en las pezuñas externas" },
  },
  ground: {
    "rocky range": { label: "pedregal", place: "en el pedregal" },
    pasture: { label: "pasto", place: "en el pasto" },
    "dry lot": { label: "corral seco", place: "en el corral seco" },
    wood: { label: "madera", place: "sobre madera" },
    concrete: { label: "concreto", place: "sobre concreto" },
    "bedded barn": { label: "establo con cama", place: "en el establo con cama" },
    other: { label: "otro suelo", place: "en otro suelo" },
    unknown: { label: "suelo no conocido", place: "en suelo no conocido" },
  },
  age_band: {
    kid: { label: "cabritos, menos de 6 meses", place: "en cabritos" },
    young: { label: "jóvenes, 6 a 12 meses", place: "en las jóvenes" },
    yearling: { label: "primalas", place: "en primalas" },
    adult: { label: "adultas, 2 a 6 años", place: "en adultas" },
    older: { label: "mayores", place: "en las mayores" },
    unknown: { label: "edad no conocida", place: "en cabras de edad no conocida" },
  },
  class: {
    kid: { label: "cabritos", place: "en cabritos" },
    growing: { label: "en crecimiento", place: "en cabras en crecimiento" },
    "late pregnant": { label: "gestación avanzada", place: "en gestación avanzada" },
    milking: { label: "en ordeña", place: "en cabras en ordeña" },
    dry: { label: "secas", place: "en cabras secas" },
    buck: { label: "sementales", place: "en sementales" },
    wether: { label: "castrados", place: "en castrados" },
    unknown: { label: "clase no conocida", place: "en cabras de clase no conocida" },
  },
  line: { unknown: { label: "línea no conocida", place: "en cabras sin línea conocida" } },
};

const named = (kinds: Kinds, kind: string, value: string): Named[string] | undefined =>
  kinds[kind as GroupKind]?.[value];

export const groupWords: Readonly<Record<Language, GroupWords>> = {
  en: {
    label: (kind, value) => named(english, kind, value)?.label ?? value,
    place: (kind, value) =>
      named(english, kind, value)?.place ??
      (kind === "line" ? `in the ${value} line` : kind === "arm" ? `in arm ${value}` : `in ${value}`),
    unknownPen: "pen not known",
    wholeFlock: "whole flock",
  },
  es: {
    label: (kind, value) => named(spanish, kind, value)?.label ?? value,
    place: (kind, value) =>
      named(spanish, kind, value)?.place ??
      (kind === "line" ? `en la línea ${value}` : kind === "arm" ? `en el grupo ${value}` : `en ${value}`),
    unknownPen: "corral no conocido",
    wholeFlock: "todo el rebaño",
  },
};

/** Whether a group is the one that gathers what is not known: it stands last and leads no sentence. */
export const isUnknownGroup = (value: string): boolean => value === "unknown";
