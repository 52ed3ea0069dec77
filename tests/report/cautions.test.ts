import { describe, expect, test } from "vitest";
import { caseTable } from "../../src/findings/case.ts";
import { lesionTable } from "../../src/findings/lesion.ts";
import { nextCheckTable } from "../../src/findings/next-check.ts";
import {
  type CautionPlace,
  cautionsInForce,
  type SafetyCautionId,
  safetyCautions,
} from "../../src/report/cautions.ts";
import type { SeasonPageInput } from "../../src/report/season-page-input.ts";
import { day, rowOf, seasonInput } from "./season-fixture.ts";

const PLACES: readonly CautionPlace[] = [
  "breeder",
  "extension",
  "vet",
  "worklist",
  "animals",
  "index",
  "handout",
];

const onList = (given: Parameters<typeof rowOf<(typeof nextCheckTable)["columns"]>>[1]): SeasonPageInput =>
  seasonInput({ findings: { nextCheck: [rowOf(nextCheckTable, { animal: "E1", pen: "North", ...given })] } });

const aCase = (
  given: Parameters<typeof rowOf<(typeof caseTable)["columns"]>>[1],
): SeasonPageInput["findings"]["cases"] => [
  rowOf(caseTable, { animal: "E1", kind: "lesion", first_sign: day("2024-05-01"), ...given }),
];

const newlyLame = (count: number, present: number, daysAgo = 3): SeasonPageInput =>
  seasonInput({
    findings: {
      nextCheck: Array.from({ length: present }, (_, i) =>
        rowOf(nextCheckTable, { animal: `E${i}`, pen: "North", look_order: i }),
      ),
      liveCases: Array.from({ length: count }, (_, i) =>
        rowOf(caseTable, { animal: `E${i}`, kind: "lame", first_sign: day("2024-05-20") - daysAgo }),
      ),
    },
  });

const laminitis = (animals: number): SeasonPageInput =>
  seasonInput({
    findings: {
      lesion: [
        rowOf(lesionTable, { group_kind: "flock", lesion: "laminitis signs", affected_animals: animals }),
      ],
    },
  });

const treated = { count: 2, withoutWithdrawal: 1, milkUntil: null, meatUntil: day("2024-06-01") };

/** Each caution with inputs that call for it, inputs that nearly do, and the pages it then stands on. */
const table: readonly {
  readonly caution: SafetyCautionId;
  readonly on: readonly CautionPlace[];
  readonly holds: readonly SeasonPageInput[];
  readonly doesNot: readonly SeasonPageInput[];
}[] = [
  {
    caution: "notifiable",
    on: PLACES,
    holds: [seasonInput({ notifiable: [{ where: "trims.csv, row 4", says: "blisters on mouth" }] })],
    doesNot: [seasonInput()],
  },
  {
    caution: "manyAtOnce",
    on: ["worklist", "vet", "index"],
    holds: [newlyLame(3, 20), newlyLame(4, 60)],
    // two; three that are not over 5 % of sixty; three a week ago
    doesNot: [newlyLame(2, 20), newlyLame(3, 60), newlyLame(3, 20, 7)],
  },
  {
    caution: "vetToday",
    on: ["worklist", "vet", "index"],
    holds: [onList({ caution: "vet_today" }), onList({ caution: "late_in_kid;vet_today" })],
    doesNot: [onList({ caution: "vet_first" }), onList({})],
  },
  {
    caution: "lookFirstTrimLast",
    on: ["worklist"],
    holds: [onList({ caution: "look_first_trim_last" })],
    doesNot: [onList({ caution: "in_stages" })],
  },
  {
    caution: "soreFeet",
    on: ["worklist", "vet", "animals"],
    holds: [
      seasonInput({ findings: { liveCases: aCase({ lesions: "footrot" }) } }),
      seasonInput({ findings: { liveCases: aCase({ lesions: "crack, white line abscess" }) } }),
      seasonInput({ findings: { liveCases: aCase({ lesions: "toe granuloma" }) } }),
      seasonInput({ findings: { liveCases: aCase({ lesions: "sore between the toes" }) } }),
      seasonInput({ findings: { liveCases: aCase({ smell: true }) } }),
    ],
    doesNot: [
      seasonInput({ findings: { liveCases: aCase({ lesions: "crack" }) } }),
      seasonInput({ findings: { liveCases: aCase({ lesions: "footrot", closed: day("2024-05-10") }) } }),
    ],
  },
  {
    caution: "stages",
    on: ["worklist"],
    // over three times the limit of 9.5 mm
    holds: [onList({ caution: "in_stages" }), onList({ expected_overhang_mm: 28.6 })],
    doesNot: [onList({ expected_overhang_mm: 28.5 }), onList({})],
  },
  {
    caution: "copper",
    on: ["extension", "vet"],
    holds: [seasonInput({ copperKnown: true })],
    doesNot: [seasonInput({ sheepToo: true })],
  },
  {
    caution: "lateInKid",
    on: ["worklist"],
    holds: [onList({ caution: "late_in_kid" })],
    doesNot: [onList({})],
  },
  {
    caution: "laminitis",
    on: ["vet", "breeder"],
    holds: [
      laminitis(2),
      seasonInput({ rationRises: [{ pen: "North", day: day("2024-04-02"), from: 11, to: 15 }] }),
    ],
    doesNot: [laminitis(1), seasonInput()],
  },
  {
    caution: "trimming",
    on: ["worklist", "animals", "handout"],
    holds: [seasonInput()],
    doesNot: [],
  },
  {
    caution: "chemicals",
    on: ["vet", "handout"],
    holds: [seasonInput({ footbathNamed: true }), seasonInput({ treatments: treated })],
    doesNot: [seasonInput()],
  },
  {
    caution: "withdrawal",
    on: ["vet", "worklist"],
    holds: [
      seasonInput({ treatments: treated }),
      // a withdrawal of last season's treatment still runs
      seasonInput({ treatments: { ...treated, count: 0, withoutWithdrawal: 0 } }),
    ],
    doesNot: [seasonInput({ footbathNamed: true })],
  },
];

const idsOn = (input: SeasonPageInput, place: CautionPlace): readonly SafetyCautionId[] =>
  cautionsInForce(input, place).map(({ id }) => id);

test("the table asks about every caution", () => {
  expect(table.map(({ caution }) => caution).sort()).toEqual(Object.keys(safetyCautions).sort());
});

describe.each(table)("the caution $caution", ({ caution, on, holds, doesNot }) => {
  test("stands where its trigger holds, on its pages alone", () => {
    for (const input of holds) {
      expect(PLACES.filter((place) => idsOn(input, place).includes(caution)).sort()).toEqual([...on].sort());
    }
  });

  test("stands nowhere where its trigger does not hold", () => {
    for (const input of doesNot) {
      expect(PLACES.filter((place) => idsOn(input, place).includes(caution))).toEqual([]);
    }
  });

  test("speaks both languages, and names no strength and no dose", () => {
    const { heading, says } = safetyCautions[caution];
    for (const language of ["en", "es"] as const) {
      expect(heading[language].length).toBeGreaterThan(5);
      expect(says[language]).not.toMatch(/\d\s*(?:%|mg|ml|g\b|cc)/i);
    }
  });
});

describe("the order of cautions", () => {
  const everything = (sheepToo: boolean): SeasonPageInput => ({
    ...onList({ caution: "vet_today" }),
    notifiable: [{ where: "gaits.csv, row 2", says: "drooling" }],
    copperKnown: true,
    sheepToo,
    treatments: treated,
  });

  test("a notifiable disease stands above everything, in a box of its own", () => {
    const [first, ...rest] = cautionsInForce(everything(false), "vet");
    expect(first).toMatchObject({ id: "notifiable", grave: true });
    expect(rest.every(({ grave }) => !grave)).toBe(true);
    expect(first!.names).toEqual(["gaits.csv, row 2: “drooling”"]);
  });

  test("copper comes first of the rest where sheep stand with the goats", () => {
    expect(idsOn(everything(true), "vet").slice(0, 3)).toEqual(["notifiable", "copper", "vetToday"]);
    expect(idsOn(everything(false), "vet").slice(0, 3)).toEqual(["notifiable", "vetToday", "copper"]);
  });
});

describe("what cautions say", () => {
  test("withdrawals are told as recorded, never that milk or meat is clear", () => {
    const said = cautionsInForce(seasonInput({ treatments: treated }), "vet").find(
      ({ id }) => id === "withdrawal",
    )!;
    expect(said.names).toEqual([
      "Meat: a withdrawal is recorded as running until 1 June 2024.",
      "1 treatment has no withdrawal recorded.",
      "Only the label and the vet can say when milk or meat may be used again.",
    ]);
  });

  test("a page of a season that is past does not call the vet today", () => {
    const past = {
      ...onList({ caution: "vet_today" }),
      season: { ...seasonInput().season, isCurrent: false },
    };
    expect(idsOn(past, "vet")).not.toContain("vetToday");
  });

  test("goats that went lame together are named by pen", () => {
    const [said] = cautionsInForce(newlyLame(3, 20), "vet");
    expect(said).toMatchObject({ id: "manyAtOnce", names: ["North: E0, E1, E2"] });
  });
});
