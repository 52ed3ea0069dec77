/**
 * Gait scales in use for small ruminants. Scores of different scales never share a prevalence; each scale
 * has its own mark from which an animal counts as lame (settable in flock.toml, printed on every page).
 */
export interface GaitScale {
  readonly least: number;
  readonly most: number;
  /** Default mark from which an animal counts as lame. */
  readonly lameFrom: number;
  /** Mark from which an animal counts as severely lame (hardly loading the limb, or not at all). */
  readonly severeFrom: number;
  readonly source: string;
}

export const gaitScales = {
  "1-5": {
    least: 1,
    most: 5,
    lameFrom: 3,
    severeFrom: 5,
    source:
      "goat five-point scale: Deeming et al. 2018, J Dairy Sci 101:4491; wording of the upper classes from memory",
  },
  "0-4": {
    least: 0,
    most: 4,
    lameFrom: 3,
    severeFrom: 4,
    source: "clinical lameness is 3 and 4: Jaques et al. 2024, NZ J Agric Res 67:419",
  },
  "0-3": {
    least: 0,
    most: 3,
    lameFrom: 2,
    severeFrom: 3,
    source: "sheep four-point scale: Angell et al. 2015, Vet Rec 176:521",
  },
  "0-6": {
    least: 0,
    most: 6,
    lameFrom: 2,
    severeFrom: 5,
    source: "sheep scale: Kaler, Wassink, Green 2009, Vet J 180:189, from memory",
  },
} as const satisfies Record<string, GaitScale>;

export type GaitScaleId = keyof typeof gaitScales;

export const gaitScaleIds = Object.keys(gaitScales) as readonly GaitScaleId[];

/** Reads a scale's name such as `1-5`, `1 to 5`, `0–4` or `scale 0 a 3`; null when it names none of the scales. */
export function parseGaitScale(text: string): GaitScaleId | null {
  const match = /(\d)\s*(?:-|–|—|to|a|\/|\.\.)\s*(\d)/i.exec(text);
  const id = match ? `${match[1]}-${match[2]}` : "";
  return id in gaitScales ? (id as GaitScaleId) : null;
}
