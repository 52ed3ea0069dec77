/** The four feet and the two claws of a foot. */
export const footIds = ["LF", "RF", "LH", "RH"] as const;
export type FootId = (typeof footIds)[number];

export const clawIds = ["inner", "outer"] as const;
export type ClawId = (typeof clawIds)[number];

/**
 * Words and abbreviations in which sheets name feet and claws, folded (lower case, no accents). A foot is a
 * side and an end of the animal, in either order, or one of the glued abbreviations.
 */
export const footWords = {
  left: ["left", "lft", "lt", "l", "izquierda", "izquierdo", "izq"],
  right: ["right", "rgt", "rt", "r", "derecha", "derecho", "der", "dcha", "dcho"],
  front: [
    "front",
    "fore",
    "frt",
    "fr",
    "f",
    "forefoot",
    "foreleg",
    "frontleg",
    "delantera",
    "delantero",
    "delant",
    "anterior",
    "ant",
    "mano",
  ],
  hind: [
    "hind",
    "rear",
    "back",
    "h",
    "hindfoot",
    "hindleg",
    "trasera",
    "trasero",
    "tras",
    "posterior",
    "post",
  ],
  /** Left and right as stockmen say it; only beside a word for an end, since both are everyday words. */
  near: ["near", "nearside"],
  off: ["off", "offside"],
  glued: {
    LF: ["lf", "fl", "nf", "lff", "di", "ai"],
    RF: ["rf", "fr", "rff", "dd", "ad"],
    LH: ["lh", "hl", "lr", "rl", "lb", "bl", "nh", "lhf", "ti", "pi"],
    RH: ["rh", "hr", "rr", "rb", "br", "oh", "rhf", "td", "pd"],
  },
  /** Words that stand beside a foot and add nothing. */
  filler: [
    "foot",
    "feet",
    "leg",
    "legs",
    "hoof",
    "hooves",
    "limb",
    "claw",
    "claws",
    "pata",
    "patas",
    "pezuna",
    "pezunas",
    "pie",
    "miembro",
    "extremidad",
    "dedo",
    "digit",
    "the",
    "on",
    "en",
    "la",
    "el",
    "side",
  ],
  all: ["all", "both", "four", "todas", "todos", "ambas", "ambos", "cuatro", "las"],
} as const;

export const clawWords = {
  inner: ["inner", "inside", "medial", "med", "internal", "int", "interno", "interna", "in", "adentro"],
  outer: ["outer", "outside", "lateral", "lat", "external", "ext", "externo", "externa", "out", "afuera"],
} as const;
