import { readFlocks } from "../../src/exposure/flocks.ts";
import { type PlanRequest, planStudy } from "../../src/findings/study-plan/plan-study.ts";
import type { LengthUnit } from "../../src/report/length-units.ts";
import { fromLengthUnit } from "../../src/report/length-units.ts";
import { studyPlanText } from "../../src/report/study-plan-text.ts";
import { studyPlanWords } from "../../src/report/words/study-plan.ts";
import { alignedTable } from "../aligned-table.ts";
import { oneFlock } from "../one-flock.ts";
import { bookPath, withBook } from "../open-book.ts";
import { Unusable } from "../unusable.ts";
import type { Call, Verb } from "../verb.ts";

/** Effects that are tried when none is named: growth in the flock's unit a month, lameness as a ratio of odds. */
const USUAL_EFFECTS: Readonly<Record<LengthUnit | "lame", readonly number[]>> = {
  mm: [0.5, 1, 2],
  in: [0.02, 0.04, 0.08],
  lame: [0.7, 0.5, 0.3],
};
const USUAL_SIMULATIONS = 1000;

export const plan: Verb = {
  name: "plan",
  words: "",
  says: "power of next season's study from this book's fitted variances; levers take several values: 6,8,12",
  options: {
    outcome: { value: "growth|lame", says: "what is studied (default growth)" },
    unit: { value: "pen|animal", says: "what is assigned to an arm (default pen)" },
    pens: { value: "N,…", says: "pens in both arms together (default: as many as the flock has, and more)" },
    goats: { value: "N,…", says: "goats a pen (default: as in the flock)" },
    months: { value: "N,…", says: "months from the first visit to the last (default 6)" },
    visits: {
      value: "N,…",
      says: "visits to every goat, first and last included (default: the flock's own pace)",
    },
    effect: {
      value: "X,…",
      says: "growth: the flock's unit a month; lame: ratio of odds in the first arm (below 1: less lameness)",
    },
    before: {
      value: "N",
      says: "months of records before the study that each unit is set against (default 0)",
    },
    simulations: { value: "N", says: `simulated studies a design (default ${USUAL_SIMULATIONS})` },
    seed: { value: "N", says: "seed of everything drawn at random (default 1)" },
  },
  leastWords: 0,
  mostWords: 0,
  async run(call, rim) {
    return withBook(bookPath(call), true, async (book) => {
      const flock = oneFlock(call, await readFlocks(book, rim.today, null));
      const unit = flock.settings.units ?? "mm";
      const language = call.language ?? flock.settings.language ?? "en";
      const request = requestOf(call, unit);
      const watched = !call.flag("quiet") && process.stderr.isTTY;
      const told = await planStudy(book, flock.id, request, (done, all) => {
        if (watched) rim.tell(`  ${done} of ${all}`);
      });
      if (!("rows" in told)) throw new Unusable(told.map(studyPlanWords[language].trouble).join("\n"));
      const text = studyPlanText(told, request, { name: flock.name, unit }, language);
      for (const line of text.above) rim.print(line);
      rim.print("");
      rim.print(alignedTable(text.rows, rim.width));
      rim.print("");
      for (const line of text.below) rim.print(line);
      return 0;
    });
  },
};

function requestOf(call: Call, unit: LengthUnit): PlanRequest {
  const outcome = oneOf(call, "outcome", ["growth", "lame"]);
  const effects = numbers(call, "effect") ?? USUAL_EFFECTS[outcome === "lame" ? "lame" : unit];
  if (outcome === "lame" && effects.some((ratio) => ratio <= 0)) {
    throw new Unusable("--effect is a ratio of odds; it must be above 0 (1: no effect, 0.5: half the odds)");
  }
  return {
    outcome,
    unit: oneOf(call, "unit", ["pen", "animal"]),
    pens: numbers(call, "pens"),
    goats: numbers(call, "goats"),
    months: numbers(call, "months"),
    visits: numbers(call, "visits"),
    monthsBefore: call.number("before") ?? 0,
    effects: effects.map((effect) => (outcome === "lame" ? Math.log(effect) : fromLengthUnit(effect, unit))),
    simulations: call.number("simulations") ?? USUAL_SIMULATIONS,
    seed: call.number("seed") ?? 1,
  };
}

function oneOf<Word extends string>(call: Call, name: string, known: readonly [Word, ...Word[]]): Word {
  const given = call.text(name);
  if (given === null) return known[0];
  const found = known.find((word) => word === given);
  if (found === undefined) throw new Unusable(`--${name} is ${given}; it can be ${known.join(" or ")}`);
  return found;
}

/** Numbers of a list such as `6,8,12`, each once, in order. */
function numbers(call: Call, name: string): readonly number[] | null {
  const given = call.text(name);
  if (given === null) return null;
  const values = given.split(",").map((one) => (one.trim() === "" ? Number.NaN : Number(one)));
  if (!values.every(Number.isFinite)) {
    throw new Unusable(`--${name} is ${given}; it must be a number, or several such as 6,8,12`);
  }
  return [...new Set(values)].sort((a, b) => a - b);
}
