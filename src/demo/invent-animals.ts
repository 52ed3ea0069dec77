import { isoDay } from "../records/days.ts";
import type { Random } from "../statistics/random.ts";
import type { FlockCalendar } from "./flock-calendar.ts";
import type { FlockPlan } from "./flock-options.ts";

/** A goat of the invented flock. Days are positions on the calendar, births before it negative. */
export interface DemoAnimal {
  readonly tag: string;
  readonly name: string | null;
  readonly sex: "female" | "male" | "wether";
  readonly born: number;
  /** As the keeper wrote it: a day, a month, a year or about a year; null for a goat known by its age on entry. */
  readonly bornText: string | null;
  /** Positions in the list of animals, −1 where nobody knows. */
  readonly sire: number;
  readonly dam: number;
  /** Of the sire, −1 where he is not known. */
  readonly line: number;
  readonly breed: string;
  readonly purpose: string;
  readonly origin: "home-bred" | "bought" | "loan";
  readonly fromFlock: string | null;
  /** False for an ancestor that the animals sheet does not list. */
  readonly listed: boolean;
  readonly entered: number | null;
  /** First day that no longer counts, null when still there. */
  readonly left: number | null;
  readonly leftReason: string | null;
  readonly kiddings: readonly DemoKidding[];
}

export interface DemoKidding {
  readonly day: number;
  readonly kids: number;
  readonly alive: number;
  readonly driedOff: number | null;
}

type Draft = { -readonly [K in keyof DemoAnimal]: DemoAnimal[K] } & { kiddings: DemoKidding[] };

const YEAR = 365;
const YOUNGEST_MOTHER_DAYS = 470;
const KIDDING_DAY_OF_YEAR_ANGLE = -2.1;

const names =
  "Bramble,Thistle,Juniper,Clover,Sorrel,Hazel,Fennel,Tansy,Yarrow,Rue,Sedge,Briar,Ivy,Myrtle,Poppy,Saffron,Willow,Aster,Dill,Maple,Birch,Nettle,Pepper,Ginger,Cinder,Flint,Pebble,Slate,Amber,Opal,Ember,Dusk".split(
    ",",
  );
const departures = ["sold", "culled, lame", "died", "culled, age"];
const sellers = ["Fern Bank", "Quarry End", "Long Acre"];

/**
 * Draws the animals, parents before kids: founder sires (one a line) and dams known by name only, their sons,
 * the flock at the start (daughters and granddaughters, some bought in without parents) and, in an open flock,
 * arrivals, deaths and sales, kiddings and the kids that stay.
 */
export function inventAnimals(
  random: Random,
  plan: FlockPlan,
  calendar: FlockCalendar,
): readonly DemoAnimal[] {
  const animals: Draft[] = [];
  const lead = calendar.lead;
  const blank = (born: number): Draft => ({
    tag: "",
    name: null,
    sex: "female",
    born,
    bornText: null,
    sire: -1,
    dam: -1,
    line: -1,
    breed: "Alpine",
    purpose: "dairy",
    origin: "home-bred",
    fromFlock: null,
    listed: true,
    entered: null,
    left: null,
    leftReason: null,
    kiddings: [],
  });
  const add = (draft: Draft): number => animals.push(draft) - 1;

  const arrivals = plan.open ? Math.round(plan.goats * 0.07) : 0;
  const kids = plan.open ? Math.round(plan.goats * 0.2) : 0;
  const atStart = plan.goats - arrivals - kids;
  const bucks = Math.min(plan.lines, Math.max(1, Math.round(plan.goats * 0.05)));

  for (let line = 0; line < plan.lines; line++) {
    add({
      ...blank(lead - (11 + 3 * random.uniform()) * YEAR),
      tag: `Sire ${line + 1}`,
      sex: "male",
      line,
      listed: false,
    });
  }
  const founderDams = Math.max(6, Math.round(plan.goats * 0.25));
  for (let k = 0; k < founderDams; k++) {
    add({ ...blank(lead - (11 + 3 * random.uniform()) * YEAR), tag: `Old doe ${k + 1}`, listed: false });
  }
  const founderDam = () => plan.lines + random.integer(founderDams);
  for (let line = 0; line < plan.lines; line++) {
    const listed = line < bucks;
    add({
      ...blank(lead - (6.5 + random.uniform()) * YEAR),
      ...(listed ? {} : { tag: `Loan buck ${line + 1}`, origin: "loan" as const }),
      sex: "male",
      sire: line,
      dam: founderDam(),
      line,
      listed,
    });
  }
  const son = (line: number) => plan.lines + founderDams + line;

  const does: number[] = [];
  // The oldest come first, so that the does old enough to be a goat's mother are the first few of the list.
  let mothers = 0;
  const ages = Array.from({ length: atStart - bucks }, () => 0.75 + Math.min(9, random.gamma(2.2, 0.75)));
  for (const age of ages.sort((a, b) => b - a)) {
    const draft = blank(Math.round(lead - age * YEAR));
    const line = random.integer(plan.lines);
    if (random.bernoulli(0.1)) {
      buyIn(random, draft, Math.round(lead - Math.max(0, age - 0.8) * YEAR * random.uniform() - 5));
    } else if (age > 5) {
      Object.assign(draft, { sire: line, dam: founderDam(), line });
    } else {
      while (mothers < does.length && draft.born - animals[does[mothers]].born > YOUNGEST_MOTHER_DAYS + 150) {
        mothers++;
      }
      const dam = mothers > 0 ? does[random.integer(mothers)] : founderDam();
      Object.assign(draft, { sire: son(line), dam, line });
    }
    if (plan.open && random.bernoulli(0.04)) Object.assign(draft, { sex: "wether", purpose: "pet" });
    const index = add(draft);
    if (draft.sex === "female") does.push(index);
  }
  if (plan.open) {
    for (let k = 0; k < arrivals; k++) {
      // Two loads a year: goats are bought together.
      const load = Math.floor((k * 4) / Math.max(1, arrivals));
      const day = Math.round(lead + plan.days * (0.12 + 0.22 * load));
      const draft = blank(day - Math.round((0.9 + 4 * random.uniform()) * YEAR));
      buyIn(random, draft, day);
      does.push(add(draft));
    }
    for (const animal of animals)
      if (animal.listed && animal.sex !== "male") depart(random, animal, plan, calendar);
    for (const index of does) kid(random, animals[index], calendar);
    keepKids(random, animals, does, kids, plan, calendar, (line) => son(line));
  }
  describe(random, animals, plan, calendar);
  return animals;
}

function buyIn(random: Random, draft: Draft, day: number): void {
  draft.origin = "bought";
  draft.fromFlock = sellers[random.integer(sellers.length)];
  draft.entered = day;
}

/** About one in eight leaves a year, the old sooner. */
function depart(random: Random, animal: Draft, plan: FlockPlan, calendar: FlockCalendar): void {
  const age = (calendar.lead - animal.born) / YEAR;
  const perYear = age > 7 ? 0.28 : age > 5 ? 0.15 : 0.09;
  const from = Math.max(calendar.lead, animal.entered ?? 0) + 75;
  const day = Math.round(from + (random.exponential() / perYear) * YEAR);
  if (day >= calendar.lead + plan.days) return;
  animal.left = day;
  animal.leftReason = departures[random.integer(departures.length)];
}

/** One spring kidding a year for most does of age. */
function kid(random: Random, doe: Draft, calendar: FlockCalendar): void {
  for (let d = 0; d < calendar.length; d++) {
    const isSpring = d > 0 && crosses(calendar.yearAngle[d - 1], calendar.yearAngle[d]);
    if (!isSpring || !random.bernoulli(0.82)) continue;
    const day = d + Math.round(17 * random.normal());
    const here = day >= Math.max(0, doe.entered ?? 0) && day < (doe.left ?? calendar.length);
    if (!here || day - doe.born < YOUNGEST_MOTHER_DAYS) continue;
    const kids = 1 + random.binomial(2, 0.42);
    const driedOff = day + 240 + random.integer(61);
    doe.kiddings.push({
      day,
      kids,
      alive: kids - random.binomial(kids, 0.06),
      driedOff: driedOff < Math.min(calendar.length, doe.left ?? calendar.length) ? driedOff : null,
    });
  }
}

function crosses(before: number, after: number): boolean {
  const turn = 2 * Math.PI;
  const at = (angle: number) => Math.floor((angle - KIDDING_DAY_OF_YEAR_ANGLE) / turn);
  return at(after) > at(before);
}

function keepKids(
  random: Random,
  animals: Draft[],
  does: readonly number[],
  wanted: number,
  plan: FlockPlan,
  calendar: FlockCalendar,
  sireOfLine: (line: number) => number,
): void {
  const born = does.flatMap((dam) =>
    animals[dam].kiddings.flatMap(({ day, alive }) => Array.from({ length: alive }, () => ({ dam, day }))),
  );
  const kept = random
    .shuffle(born)
    .slice(0, wanted)
    .sort((a, b) => a.day - b.day);
  for (const { dam, day } of kept) {
    const line = random.integer(plan.lines);
    const draft: Draft = {
      ...animals[dam],
      name: null,
      born: day,
      sire: sireOfLine(line),
      dam,
      line,
      origin: "home-bred",
      fromFlock: null,
      entered: null,
      left: null,
      leftReason: null,
      purpose: "dairy",
      sex: random.bernoulli(0.86) ? "female" : "wether",
      kiddings: [],
    };
    const quits = random.bernoulli(0.12) ? day + 150 + random.integer(300) : calendar.length;
    if (quits < calendar.lead + plan.days) Object.assign(draft, { left: quits, leftReason: "sold" });
    animals.push(draft);
  }
}

/** Tags in order of the sheet, names, breeds, and births as a keeper writes them. */
function describe(random: Random, animals: Draft[], plan: FlockPlan, calendar: FlockCalendar): void {
  let number = 0;
  const width = Math.max(3, String(plan.goats).length);
  const pool = random.shuffle([...names]);
  for (const animal of animals) {
    animal.bornText = animal.listed ? isoDay(calendar.first + animal.born) : null;
    if (!animal.listed) continue;
    animal.tag = animal.tag || `${plan.tagPrefix}${String(++number).padStart(width, "0")}`;
    if (!plan.open) continue;
    if (random.bernoulli(0.4)) animal.name = pool.pop() ?? null;
    const draw = random.uniform();
    animal.breed =
      draw < 0.6 ? "Alpine" : draw < 0.85 ? "Nubian cross" : draw < 0.97 ? "Boer cross" : "Angora";
    if (animal.purpose === "dairy" && random.bernoulli(0.06)) animal.purpose = "show";
    if (animal.breed === "Boer cross" && animal.purpose === "dairy") animal.purpose = "meat";
    if (animal.origin === "bought") animal.bornText = roughBirth(random, animal.bornText ?? "");
    else if (animal.born < -4 * YEAR && random.bernoulli(0.3))
      animal.bornText = animal.bornText?.slice(0, 7) ?? null;
  }
}

function roughBirth(random: Random, iso: string): string | null {
  const draw = random.uniform();
  if (draw < 0.3) return null;
  return draw < 0.65 ? `~${iso.slice(0, 4)}` : iso.slice(0, 4);
}
