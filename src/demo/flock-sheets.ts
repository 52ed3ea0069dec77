import { isoDay } from "../records/days.ts";
import { type KindId, kindIds } from "../records/kinds.ts";
import { claws } from "./invent-growth.ts";
import type { InventedParts } from "./invented-parts.ts";
import { penSheets } from "./pen-sheets.ts";
import type { SheetCell, SheetRow, Sheets } from "./sheet-row.ts";

/** Writes the invented flock into rows of the project's own columns. */
export function flockSheets(parts: InventedParts): Sheets {
  const { plan, calendar, pens, animals } = parts;
  const isoDays = Array.from({ length: calendar.length + 120 }, (_, d) => isoDay(calendar.first + d));
  const iso = (day: number): string => isoDays[day] ?? isoDay(calendar.first + day);
  const tag = (animal: number): string | null => (animal < 0 ? null : animals[animal].tag);
  const sheets: Record<KindId, SheetRow[]> = {
    animals: animalRows(parts, iso, tag),
    tags: [],
    stays: stayRows(parts, iso),
    trims: trimRows(parts, iso),
    gaits: gaitRows(parts, iso),
    rounds: parts.lameness.rounds.map((round) => ({
      date: iso(round.day),
      pen: pens[round.pen].name,
      scorer: round.scorer,
      gait_scale: plan.gaitScale,
      looked_at: round.lookedAt,
      lame: round.lame,
      severely_lame: round.severelyLame,
      others_sound: yesNo(round.othersSound),
    })),
    lesions: parts.troubles.lesions.map((lesion) => ({
      animal: animals[lesion.animal].tag,
      date: iso(lesion.day),
      foot: lesion.foot,
      claw: lesion.claw,
      lesion: lesion.lesion,
      severity: lesion.severity,
      smell: yesNo(lesion.smell),
      status: lesion.status,
      examiner: lesion.examiner,
    })),
    treatments: parts.troubles.treatments.map((treatment) => ({
      animal: animals[treatment.animal].tag,
      date: iso(treatment.day),
      foot: treatment.foot,
      treatment: treatment.treatment,
      product: treatment.product,
      batch: treatment.batch,
      reason: treatment.reason,
      prescribed_by: treatment.prescribedBy,
      dose: treatment.dose,
      withdrawal_milk_until: treatment.milkUntil === null ? null : iso(treatment.milkUntil),
      withdrawal_meat_until: treatment.meatUntil === null ? null : iso(treatment.meatUntil),
    })),
    kiddings: animals.flatMap((animal) =>
      animal.kiddings
        .filter((kidding) => kidding.day < calendar.length)
        .map((kidding) => ({
          animal: animal.tag,
          date: iso(kidding.day),
          kids: kidding.kids,
          alive: kidding.alive,
          dried_off: kidding.driedOff === null ? null : iso(kidding.driedOff),
        })),
    ),
    trial: [],
    corrections: [],
    ...penSheets(parts, iso),
  };
  if (plan.flock === null) return sheets;
  for (const kind of kindIds) sheets[kind] = sheets[kind].map((row) => ({ flock: plan.flock, ...row }));
  return sheets;
}

function animalRows(
  { plan, calendar, animals, lives }: InventedParts,
  iso: (day: number) => string,
  tag: (animal: number) => string | null,
): SheetRow[] {
  const rows: SheetRow[] = [];
  animals.forEach((animal, i) => {
    if (!animal.listed || (lives[i].segments.length === 0 && plan.open)) return;
    rows.push({
      animal: animal.tag,
      name: animal.name,
      sex: animal.sex,
      born: animal.bornText,
      age_at_entry:
        animal.bornText === null ? ageInWords((animal.entered ?? calendar.lead) - animal.born) : null,
      sire: tag(animal.sire),
      dam: tag(animal.dam),
      line: animal.line < 0 ? null : lineName(animal.line),
      breed: animal.breed,
      purpose: animal.purpose,
      origin: animal.origin,
      from_flock: animal.fromFlock,
      entered: animal.entered === null ? null : iso(animal.entered),
      left: animal.left === null ? null : iso(animal.left),
      left_reason: animal.leftReason,
    });
  });
  return rows;
}

const lineNames = ["Ash", "Basalt", "Cedar", "Dune", "Elder", "Furze", "Gorse", "Heath"];

/** The name of a breeding line by its number from 0. */
function lineName(line: number): string {
  return lineNames[line] ?? `Line ${line + 1}`;
}

function ageInWords(days: number): string {
  const years = Math.floor(days / 365);
  return years >= 1 ? `${years} years` : `${Math.max(1, Math.round(days / 30.4))} months`;
}

function stayRows({ animals, lives, pens }: InventedParts, iso: (day: number) => string): SheetRow[] {
  return animals.flatMap((animal, i) =>
    lives[i].stays.map((stay) => ({
      animal: animal.tag,
      pen: pens[stay.pen].name,
      from: iso(stay.from),
      to: stay.to === null ? null : iso(stay.to),
    })),
  );
}

function trimRows({ plan, animals, trims }: InventedParts, iso: (day: number) => string): SheetRow[] {
  const steps = plan.open ? 10 : 10_000;
  const mm = (length: number | null): SheetCell =>
    length === null ? null : Math.round(length * steps) / steps;
  return trims.looks.map((look) => ({
    animal: animals[look.animal].tag,
    date: iso(look.day),
    foot: claws[look.claw].foot,
    claw: claws[look.claw].claw,
    toe_before_mm: mm(look.toeBefore),
    toe_after_mm: mm(look.toeAfter),
    overhang_before_mm: mm(look.overhangBefore),
    overhang_after_mm: mm(look.overhangAfter),
    mark_mm: mm(look.mark),
    overgrowth: look.overgrowth,
    trimmed: yesNo(look.trimmed),
    bled: look.bled ? "yes" : null,
    stage: look.stage,
    trimmer: look.trimmed ? look.trimmer : null,
    measurer: look.measurer,
    repeat: look.repeat,
  }));
}

function gaitRows({ plan, animals, lameness }: InventedParts, iso: (day: number) => string): SheetRow[] {
  return lameness.scores.map((score) => ({
    animal: animals[score.animal].tag,
    date: iso(score.day),
    gait: score.score,
    gait_scale: plan.gaitScale,
    scorer: score.scorer,
    for_cause: score.forCause ? "yes" : null,
  }));
}

function yesNo(value: boolean | null): SheetCell {
  return value === null ? null : value ? "yes" : "no";
}
