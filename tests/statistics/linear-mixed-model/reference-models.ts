import type { LinearMixedInput } from "../../../src/statistics/linear-mixed-model/linear-mixed-design.ts";
import type { RandomTerm } from "../../../src/statistics/mixed-model-terms.ts";
import growth from "../../reference/linear-mixed-growth.json";
import membership from "../../reference/linear-mixed-membership.json";
import models from "../../reference/linear-mixed-models.json";

export type DatasetName = keyof typeof models.datasets;
type Column = readonly (number | string)[];

/** A model of the reference file in the form that the fit takes, with the names that the reference gives things. */
export interface ReferenceModel {
  readonly input: LinearMixedInput;
  /** For each term: name of its group in the reference, and its levels in our order. */
  readonly groups: readonly { readonly group: string; readonly levels: readonly string[] }[];
}

export function columnsOf(dataset: DatasetName): Record<string, Column> {
  return models.datasets[dataset].columns as unknown as Record<string, Column>;
}

/** Levels 0, 1, … in the order of first appearance. */
function coded(...columns: Column[]): { levels: string[]; membership: Int32Array } {
  const seen = new Map<string, number>();
  const membershipOf = Int32Array.from({ length: columns[0]!.length }, (_, i) => {
    const key = columns.map((column) => column[i]).join(":");
    if (!seen.has(key)) seen.set(key, seen.size);
    return seen.get(key)!;
  });
  return { levels: Array.from(seen.keys()), membership: membershipOf };
}

export const numbers = (column: Column): Float64Array => Float64Array.from(column as number[]);
const ones = (n: number): Float64Array => new Float64Array(n).fill(1);
const indicator = (column: Column, level: string): Float64Array =>
  Float64Array.from(column, (value) => (value === level ? 1 : 0));
const times = (a: Float64Array, b: Float64Array): Float64Array => a.map((value, i) => value * b[i]!);

type Fixed = [string, Float64Array][];
interface Random {
  group: string;
  by: Column[];
  effects?: Float64Array[];
  independent?: boolean;
}

function build(outcome: Column, fixed: Fixed, random: Random[]): ReferenceModel {
  const groups = random.map(({ group, by }) => ({ group, levels: coded(...by).levels }));
  const terms = random.map(({ group, by, effects, independent }): RandomTerm => {
    const { levels, membership: level } = coded(...by);
    return {
      name: group,
      levels: levels.length,
      membership: level,
      ...(effects === undefined ? {} : { effects }),
      ...(independent === undefined ? {} : { independent }),
    };
  });
  return {
    input: {
      outcome: numbers(outcome),
      fixed: { names: fixed.map(([name]) => name), columns: fixed.map(([, column]) => column) },
      random: terms,
    },
    groups,
  };
}

/** The model of one case of tests/reference/linear-mixed-models.json. */
export function referenceModel(id: string): ReferenceModel {
  const sleep = columnsOf("sleepstudy");
  const days = numbers(sleep.Days!);
  const unit = (column: Column): Float64Array => ones(column.length);
  const onDays: Fixed = [
    ["(Intercept)", unit(sleep.Days!)],
    ["Days", days],
  ];
  const subject = (effects?: Float64Array[], independent?: boolean): Random => ({
    group: "Subject",
    by: [sleep.Subject!],
    ...(effects === undefined ? {} : { effects }),
    ...(independent === undefined ? {} : { independent }),
  });
  const intercept = (column: Column): Fixed => [["(Intercept)", unit(column)]];
  switch (id) {
    case "sleepstudy_ri":
    case "sleepstudy_ri_ml":
      return build(sleep.Reaction!, onDays, [subject()]);
    case "sleepstudy_ris":
      return build(sleep.Reaction!, onDays, [subject([unit(sleep.Days!), days])]);
    case "sleepstudy_ris_uncorr":
      return build(sleep.Reaction!, onDays, [subject([unit(sleep.Days!), days], true)]);
    case "dyestuff":
    case "dyestuff2_boundary": {
      const d = columnsOf(id === "dyestuff" ? "Dyestuff" : "Dyestuff2");
      return build(d.Yield!, intercept(d.Yield!), [{ group: "Batch", by: [d.Batch!] }]);
    }
    case "penicillin_crossed": {
      const d = columnsOf("Penicillin");
      return build(d.diameter!, intercept(d.diameter!), [
        { group: "plate", by: [d.plate!] },
        { group: "sample", by: [d.sample!] },
      ]);
    }
    case "pastes_nested": {
      const d = columnsOf("Pastes");
      return build(d.strength!, intercept(d.strength!), [
        { group: "cask:batch", by: [d.cask!, d.batch!] },
        { group: "batch", by: [d.batch!] },
      ]);
    }
    case "orthodont_ri_sex":
    case "orthodont_ris": {
      const d = columnsOf("Orthodont");
      const age = numbers(d.age!);
      const female = indicator(d.Sex!, "Female");
      const straight: Fixed = [...intercept(d.age!), ["age", age]];
      if (id === "orthodont_ris") {
        return build(d.distance!, straight, [
          { group: "Subject", by: [d.Subject!], effects: [unit(d.age!), age] },
        ]);
      }
      return build(
        d.distance!,
        [...straight, ["SexFemale", female], ["age:SexFemale", times(age, female)]],
        [{ group: "Subject", by: [d.Subject!] }],
      );
    }
    case "oxboys_ri":
    case "oxboys_ris": {
      const d = columnsOf("Oxboys");
      const age = numbers(d.age!);
      const straight: Fixed = [...intercept(d.age!), ["age", age]];
      if (id === "oxboys_ris") {
        return build(d.height!, straight, [
          { group: "Subject", by: [d.Subject!], effects: [unit(d.age!), age] },
        ]);
      }
      return build(
        d.height!,
        [...straight, ["I(age^2)", times(age, age)]],
        [{ group: "Subject", by: [d.Subject!] }],
      );
    }
    case "oats_splitplot": {
      const d = columnsOf("Oats");
      const fixed: Fixed = [
        ...intercept(d.yield!),
        ...["0.2", "0.4", "0.6"].map((l): [string, Float64Array] => [`nitrof${l}`, indicator(d.nitrof!, l)]),
        ...["Marvellous", "Victory"].map((l): [string, Float64Array] => [
          `Variety${l}`,
          indicator(d.Variety!, l),
        ]),
      ];
      return build(d.yield!, fixed, [
        { group: "Variety:Block", by: [d.Variety!, d.Block!] },
        { group: "Block", by: [d.Block!] },
      ]);
    }
    case "milk_cow_ri":
    case "milk_cow_ris": {
      const d = columnsOf("Milk");
      const time = numbers(d.cTime!);
      const diets = ["barley+lupins", "lupins"].map((l): [string, Float64Array] => [
        `Diet${l}`,
        indicator(d.Diet!, l),
      ]);
      const fixed: Fixed = [...intercept(d.protein!), ["cTime", time], ...diets];
      if (id === "milk_cow_ri") return build(d.protein!, fixed, [{ group: "Cow", by: [d.Cow!] }]);
      return build(
        d.protein!,
        [...fixed, ...diets.map(([name, c]): [string, Float64Array] => [`cTime:${name}`, times(c, time)])],
        [{ group: "Cow", by: [d.Cow!], effects: [unit(d.cTime!), time] }],
      );
    }
    default:
      throw new RangeError(`no model for ${id}`);
  }
}

/** The growth model of tests/reference/linear-mixed-growth.json: slope-only terms, nested and crossed, no intercept. */
export function growthModel(): ReferenceModel {
  const { data } = growth;
  const slope = [numbers(data.D)];
  const fixed: Fixed = [
    ["D", numbers(data.D)],
    ["Dcp", numbers(data.Dcp)],
    ["Dhind", numbers(data.Dhind)],
  ];
  return build(data.growth, fixed, [
    { group: "animal", by: [data.animal], effects: slope },
    { group: "ai", by: [data.ai], effects: slope },
    { group: "ac", by: [data.ac], effects: slope },
    { group: "pen", by: [data.pen], effects: slope },
  ]);
}

/** The multiple-membership model of tests/reference/linear-mixed-membership.json. */
export function membershipModel(): ReferenceModel {
  const rows = membership.y.length;
  const slope = [numbers(membership.D)];
  const term = (name: string, by: number[]): RandomTerm => ({
    name,
    levels: coded(by).levels.length,
    membership: coded(by).membership,
    effects: slope,
  });
  const several = (
    name: string,
    entries: { level: number[]; row: number[]; weight: number[] },
  ): RandomTerm => {
    const rowStart = new Int32Array(rows + 1);
    for (const row of entries.row) rowStart[row]!++;
    for (let i = 0; i < rows; i++) rowStart[i + 1]! += rowStart[i]!;
    const next = rowStart.slice(0, rows);
    const level = new Int32Array(entries.row.length);
    const weight = new Float64Array(entries.row.length);
    entries.row.forEach((row, e) => {
      const at = next[row - 1]!++;
      level[at] = entries.level[e]! - 1;
      weight[at] = entries.weight[e]!;
    });
    return { name, levels: Math.max(...entries.level), membership: { rowStart, level, weight } };
  };
  const random = [
    term("animal", membership.animal),
    term("ai", membership.interval),
    term("ac", membership.claw),
    several("penf", membership.pen),
    several("pmf", membership.pen_month),
  ];
  const hind = numbers(membership.hind);
  return {
    input: {
      outcome: numbers(membership.y),
      fixed: {
        names: ["D", "Xcp", "D:hind"],
        columns: [numbers(membership.D), numbers(membership.Xcp), times(numbers(membership.D), hind)],
      },
      random,
    },
    groups: random.map(({ name, levels }) => ({
      group: name,
      levels: Array.from({ length: levels }, (_, k) => String(k + 1)),
    })),
  };
}
