import type { LesionId } from "../records/lesion-kinds.ts";
import type { Random } from "../statistics/random.ts";
import type { TrueVisit } from "./claw-log.ts";
import type { FlockCalendar } from "./flock-calendar.ts";
import type { FlockPlan } from "./flock-options.ts";
import type { DemoAnimal } from "./invent-animals.ts";
import type { GaitScore } from "./invent-lameness.ts";
import type { DemoPen } from "./invent-pens.ts";

export interface LesionFound {
  readonly animal: number;
  readonly day: number;
  readonly foot: string | null;
  readonly claw: string | null;
  readonly lesion: LesionId;
  readonly severity: string | null;
  readonly smell: boolean | null;
  readonly status: "found" | "healing" | "healed" | null;
  readonly examiner: string;
}

export interface Treatment {
  readonly animal: number;
  readonly day: number;
  readonly foot: string | null;
  readonly treatment: string;
  readonly product: string | null;
  readonly batch: string | null;
  readonly reason: string;
  readonly prescribedBy: string | null;
  readonly dose: string | null;
  readonly milkUntil: number | null;
  readonly meatUntil: number | null;
}

export interface FootTroubles {
  readonly lesions: readonly LesionFound[];
  readonly treatments: readonly Treatment[];
}

const EXAMINED_AT_VISIT = 0.55;
const LOOK_AGAIN_DAYS = 14;
const SAME_BOUT_DAYS = 21;

/** What a lame foot is found to have, dry ground and wet: weights, invented. */
const causes: readonly { readonly lesion: LesionId; readonly dry: number; readonly wet: number }[] = [
  { lesion: "sore between the toes", dry: 1, wet: 5 },
  { lesion: "footrot", dry: 0.5, wet: 3 },
  { lesion: "white line abscess", dry: 2, wet: 1 },
  { lesion: "white line separation", dry: 2, wet: 1.5 },
  { lesion: "sole haemorrhage", dry: 1.5, wet: 0.8 },
  { lesion: "foreign body", dry: 1.2, wet: 0.4 },
  { lesion: "injury", dry: 1, wet: 0.5 },
  { lesion: "toe granuloma", dry: 0.4, wet: 0.4 },
  { lesion: "swollen coronet or joint", dry: 0.6, wet: 0.4 },
  { lesion: "laminitis signs", dry: 0.3, wet: 0.2 },
];
const trimFindings: readonly LesionId[] = [
  "loose wall",
  "crack",
  "white line separation",
  "sole haemorrhage",
];
const ofOneClaw = new Set<LesionId>([
  "white line abscess",
  "white line separation",
  "sole haemorrhage",
  "foreign body",
  "toe granuloma",
  "loose wall",
  "crack",
]);

/** Draws lesions of lame goats and their treatment in a farm's records, and what is found, or not, when goats are trimmed. */
export function inventFootTroubles(
  random: Random,
  plan: FlockPlan,
  calendar: FlockCalendar,
  pens: readonly DemoPen[],
  animals: readonly DemoAnimal[],
  scores: readonly GaitScore[],
  visits: readonly (readonly TrueVisit[])[],
): FootTroubles {
  if (!plan.open) return { lesions: [], treatments: [] };
  const lesions: LesionFound[] = [];
  const treatments: Treatment[] = [];
  const known = new Set<string>();
  const last = calendar.length;
  const there = (animal: number, day: number) => day < Math.min(last, animals[animal].left ?? last);
  const note = (lesion: LesionFound) => {
    const key = [lesion.animal, lesion.day, lesion.foot, lesion.claw, lesion.lesion].join("|");
    if (known.has(key) || !there(lesion.animal, lesion.day)) return;
    known.add(key);
    lesions.push(lesion);
  };
  const inBoutUntil = new Float64Array(animals.length).fill(-1);
  const excused = new Set<string>();

  for (const score of scores) {
    const { animal, day, lame, pen, forCause } = score;
    if (!lame || day < inBoutUntil[animal] || !random.bernoulli(forCause ? 0.95 : 0.7)) continue;
    inBoutUntil[animal] = day + SAME_BOUT_DAYS;
    const on = day + random.integer(3);
    if (!there(animal, on)) continue;
    const lesion = drawCause(random, pens[pen].wetness[day] >= 2);
    const foot = random.bernoulli(0.6) ? drawOne(random, ["LH", "RH"]) : drawOne(random, ["LF", "RF"]);
    const claw = ofOneClaw.has(lesion) ? drawOne(random, ["outer", "outer", "inner"]) : null;
    const severe = score.logOdds > -1 || random.bernoulli(0.25);
    const examiner = random.bernoulli(0.15) ? "Dr. Quill" : "Perrin";
    const smell = lesion === "footrot" ? random.bernoulli(0.8) : null;
    const common = { animal, foot, claw, lesion, examiner };
    note({ ...common, day: on, severity: severe ? "severe" : "mild", smell, status: "found" });
    excused.add(`${animal}|${on}`);
    const treatedOn = on + Math.floor(random.exponential() * 1.2);
    if (random.bernoulli(0.75) && there(animal, treatedOn)) {
      treatments.push(...treat(random, animal, treatedOn, foot, lesion, severe));
    }
    const later = on + LOOK_AGAIN_DAYS + random.integer(5);
    const healed = random.bernoulli(0.6);
    if (random.bernoulli(0.7)) {
      note({ ...common, day: later, severity: null, smell: null, status: healed ? "healed" : "healing" });
      if (!healed) {
        const end = later + LOOK_AGAIN_DAYS;
        note({ ...common, day: end, severity: null, smell: null, status: "healed" });
      }
    }
  }

  visits.forEach((own, animal) => {
    for (const { day } of own) {
      if (excused.has(`${animal}|${day}`) || !random.bernoulli(EXAMINED_AT_VISIT)) continue;
      const common = { animal, day, examiner: "Wren", smell: null };
      if (random.bernoulli(0.88)) {
        note({ ...common, foot: null, claw: null, lesion: "none", severity: null, status: null });
        continue;
      }
      const foot = drawOne(random, ["LF", "RF", "LH", "RH", "LH", "RH"]);
      const claw = drawOne(random, ["outer", "inner"]);
      note({
        ...common,
        foot,
        claw,
        lesion: drawOne(random, trimFindings),
        severity: "mild",
        status: "found",
      });
    }
  });
  lesions.sort((a, b) => a.day - b.day || a.animal - b.animal);
  treatments.sort((a, b) => a.day - b.day || a.animal - b.animal);
  return { lesions, treatments };
}

function treat(
  random: Random,
  animal: number,
  day: number,
  foot: string,
  lesion: LesionId,
  severe: boolean,
): Treatment[] {
  const base = { animal, day, foot, reason: lesion };
  const plain = {
    product: null,
    batch: null,
    prescribedBy: null,
    dose: null,
    milkUntil: null,
    meatUntil: null,
  };
  const given: Treatment[] = [{ ...base, ...plain, treatment: "cleaned and looked at" }];
  if (lesion === "footrot" || lesion === "white line abscess" || severe) {
    const recorded = random.bernoulli(0.85);
    given.push({
      ...base,
      treatment: "antibiotic injection",
      product: "antibiotic from the vet",
      batch: `B${100 + random.integer(40)}`,
      prescribedBy: "Dr. Quill",
      dose: "as on the label",
      milkUntil: recorded ? day + 7 : null,
      meatUntil: recorded ? day + 28 : null,
    });
  }
  if (severe && random.bernoulli(0.5)) {
    given.push({
      ...base,
      ...plain,
      treatment: "pain relief",
      product: "pain relief from the vet",
      prescribedBy: "Dr. Quill",
      milkUntil: day + 5,
      meatUntil: day + 15,
    });
  }
  return given;
}

function drawCause(random: Random, wet: boolean): LesionId {
  const weight = (cause: (typeof causes)[number]) => (wet ? cause.wet : cause.dry);
  let left = random.uniform() * causes.reduce((sum, cause) => sum + weight(cause), 0);
  for (const cause of causes) {
    left -= weight(cause);
    if (left < 0) return cause.lesion;
  }
  return causes[0].lesion;
}

function drawOne<T>(random: Random, items: readonly T[]): T {
  return items[random.integer(items.length)];
}
