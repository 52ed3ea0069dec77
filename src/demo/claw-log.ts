import type { Random } from "../statistics/random.ts";
import type { FlockPlan } from "./flock-options.ts";
import { claws, type FlockGrowth, hornGained } from "./invent-growth.ts";
import type { Life } from "./invent-lives.ts";
import type { DemoPen } from "./invent-pens.ts";
import type { PlannedVisit } from "./plan-visits.ts";

/** One claw at one look; lengths as read off the ruler, mm, null where nothing was written down. */
export interface ClawLook {
  readonly animal: number;
  readonly day: number;
  /** Position in `claws`. */
  readonly claw: number;
  readonly toeBefore: number | null;
  readonly toeAfter: number | null;
  readonly overhangBefore: number | null;
  readonly overhangAfter: number | null;
  readonly mark: number | null;
  readonly overgrowth: number;
  readonly trimmed: boolean;
  readonly bled: boolean;
  readonly stage: string | null;
  readonly trimmer: string;
  readonly measurer: string;
  readonly repeat: number | null;
}

/** What one animal's visit was in truth. Overhangs in mm, eight claws, NaN where the claw was not looked at. */
export interface TrueVisit {
  readonly day: number;
  /** Growth from this visit to the animal's next beyond what its effects say, mm per 30 days. */
  readonly intervalEffect: number;
  readonly before: Float64Array;
  readonly after: Float64Array;
}

const BADLY_OVERGROWN_MM = 22;
const WANTS_TRIMMING_MM = 4.8;
const RETRIM_MM = 9.5;
const QUICK_IS_NEAR_MM = 0.8;
const allClaws = claws.map((_, k) => k);
// The outer claws of one front and one hind foot.
const scratchedClaws = [1, 5];
const SCRATCH_DEPTH_MM = 4;
const LOOKS_AT_A_SCRATCH = 4;

/** The horn of one animal's claws, carried from visit to visit; what is written down goes to `looks`. */
export class ClawLog {
  readonly #overhang = new Float64Array(8);
  readonly #base = new Float64Array(8);
  readonly #scratch = new Float64Array(8).fill(Number.NaN);
  readonly #visits: TrueVisit[] = [];
  #staged: { readonly claws: readonly number[]; readonly stage: number; readonly of: number } | null = null;
  #looksAtScratch = 0;
  #intervalEffect = 0;

  constructor(
    readonly random: Random,
    private readonly plan: FlockPlan,
    private readonly pens: readonly DemoPen[],
    private readonly animal: number,
    private readonly life: Life,
    private readonly growth: FlockGrowth,
    private readonly scratched: boolean,
    /** Came in while records were kept: sellers' goats are often overgrown. */
    private readonly justBought: boolean,
    private readonly looks: ClawLook[],
  ) {}

  run(planned: PlannedVisit[]): TrueVisit[] {
    const queue = [...planned];
    const end = this.life.segments[this.life.segments.length - 1].to;
    let last: number | null = null;
    while (queue.length > 0) {
      const visit = queue.shift() as PlannedVisit;
      if (last !== null && visit.day - last < 3) continue;
      if (visit.day >= end) continue;
      if (last === null) this.#start();
      else this.#grow(last, visit.day);
      const followUp = this.#look(visit);
      last = visit.day;
      if (followUp !== null) {
        const at = queue.findIndex((other) => other.day > followUp.day);
        queue.splice(at < 0 ? queue.length : at, 0, followUp);
      }
    }
    return this.#visits;
  }

  #start(): void {
    const { random } = this;
    const neglected = this.plan.open && random.bernoulli(this.justBought ? 0.5 : 0.05);
    const usual = neglected ? 29 + 4 * random.normal() : 6 + 1.5 * random.normal();
    const size = 31 + 2 * random.normal();
    for (let k = 0; k < 8; k++) {
      this.#overhang[k] = Math.max(0.5, usual + (neglected ? 3 : 0.8) * random.normal());
      this.#base[k] = size + random.normal();
    }
  }

  #grow(from: number, to: number): void {
    const shared = hornGained(this.plan, this.growth, this.animal, this.life, from, to);
    const months = (to - from) / 30;
    let worn = 0;
    for (const segment of this.life.segments) {
      const days = Math.min(to, segment.to) - Math.max(from, segment.from);
      if (days > 0) worn += (this.pens[segment.pen].wear * days) / 30;
    }
    for (let k = 0; k < 8; k++) {
      const own = this.growth.clawEffects[this.animal * 8 + k] + this.#intervalEffect;
      this.#overhang[k] += shared + months * own;
      this.#scratch[k] += shared + months * own + worn;
    }
  }

  #look(visit: PlannedVisit): PlannedVisit | null {
    const { random, plan } = this;
    const before = new Float64Array(8).fill(Number.NaN);
    const after = new Float64Array(8).fill(Number.NaN);
    const dayError = plan.ruler.visitSd * random.normal();
    const staged = this.#staged;
    if (this.scratched && staged === null && this.#visits.length === 1) this.#makeScratch();
    const measurer = random.bernoulli(0.8) ? visit.trimmer.name : "Perrin";
    const starting: number[] = [];
    const stages = staged?.of ?? (random.bernoulli(0.6) ? 2 : 3);
    const stage = staged === null ? 1 : staged.stage + 1;
    for (const k of staged?.claws ?? allClaws) {
      const overhang = this.#overhang[k];
      const reading = this.#read(overhang + dayError);
      const inStages = staged !== null || (plan.open && overhang >= BADLY_OVERGROWN_MM);
      if (inStages && staged === null) starting.push(k);
      const trimmed = inStages || reading >= (visit.checkOnly ? RETRIM_MM : WANTS_TRIMMING_MM);
      const usual = visit.trimmer.leavesMm + visit.trimmer.spreadMm * random.normal();
      const cutTo = inStages ? usual + (overhang - usual) * (1 - stage / stages) : usual;
      const stays = trimmed ? Math.min(overhang, cutTo) : overhang;
      before[k] = overhang;
      after[k] = stays;
      this.#overhang[k] = stays;
      if (random.uniform() >= plan.missingShare) {
        const stageText = inStages ? `${stage} of ${stages}` : null;
        this.#record(visit, k, overhang, trimmed ? stays : null, dayError, reading, stageText, measurer);
      }
    }
    this.#intervalEffect = plan.growth.intervalSd * random.normal();
    this.#visits.push({ day: visit.day, intervalEffect: this.#intervalEffect, before, after });
    if (!Number.isNaN(this.#scratch[scratchedClaws[0]])) this.#looksAtScratch++;
    return this.#nextStage(visit, starting, stages);
  }

  #record(
    visit: PlannedVisit,
    claw: number,
    before: number,
    after: number | null,
    dayError: number,
    reading: number,
    stage: string | null,
    measurer: string,
  ): void {
    const { random, plan } = this;
    const toe = plan.lengths !== "overhang";
    const overhang = plan.lengths !== "toe";
    const base = this.#base[claw] + dayError;
    const skipped = plan.open && random.bernoulli(0.01);
    const twice = plan.open && random.bernoulli(0.03);
    const first: ClawLook = {
      animal: this.animal,
      day: visit.day,
      claw,
      toeBefore: toe && !skipped ? this.#read(base + before) : null,
      toeAfter: toe && after !== null ? this.#read(base + after) : null,
      overhangBefore: overhang ? reading : null,
      overhangAfter: overhang && after !== null ? this.#read(after + dayError) : null,
      mark: this.#readScratch(claw),
      overgrowth: before < 3.2 ? 0 : before < 9 ? 1 : before < 20 ? 2 : 3,
      trimmed: after !== null,
      bled:
        after !== null && random.bernoulli(visit.trimmer.drawsBlood + (after < QUICK_IS_NEAR_MM ? 0.2 : 0)),
      stage,
      trimmer: visit.trimmer.name,
      measurer,
      repeat: twice ? 1 : null,
    };
    this.looks.push(first);
    if (!twice) return;
    const other = random.bernoulli(0.3) ? "Perrin" : measurer;
    this.looks.push({
      ...first,
      toeBefore: toe ? this.#read(base + before) : null,
      toeAfter: null,
      overhangBefore: overhang ? this.#read(before + dayError) : null,
      overhangAfter: null,
      mark: null,
      measurer: other,
      repeat: other === measurer ? 2 : 1,
    });
  }

  #nextStage(visit: PlannedVisit, starting: readonly number[], stages: number): PlannedVisit | null {
    const staged = this.#staged;
    const stage = staged === null ? 1 : staged.stage + 1;
    const claws = staged?.claws ?? starting;
    this.#staged = null;
    // Some staged trims are never followed up: the flock forgot.
    if (claws.length === 0 || stage >= stages || this.random.bernoulli(0.12)) return null;
    this.#staged = { claws, stage, of: stages };
    return { day: visit.day + 5 + this.random.integer(8), trimmer: visit.trimmer, checkOnly: false };
  }

  #read(length: number): number {
    const { readingSd, stepMm } = this.plan.ruler;
    const seen = length + readingSd * this.random.normal();
    return stepMm > 0 ? Math.round(seen / stepMm) * stepMm : seen;
  }

  #readScratch(k: number): number | null {
    if (Number.isNaN(this.#scratch[k]) || this.#looksAtScratch >= LOOKS_AT_A_SCRATCH) return null;
    return this.#read(this.#scratch[k]);
  }

  /** A scratch a little under the hairline. */
  #makeScratch(): void {
    for (const k of scratchedClaws) this.#scratch[k] = SCRATCH_DEPTH_MM;
  }
}
