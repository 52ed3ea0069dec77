import type { AnimalHistory } from "../../src/findings/animal-history.ts";
import { breedingValueTable, lineTable } from "../../src/findings/breeding/breeding-tables.ts";
import { caseTable } from "../../src/findings/case.ts";
import { caseSummaryTable } from "../../src/findings/case-summary.ts";
import { coverageTable } from "../../src/findings/coverage.ts";
import { flockProfileTable } from "../../src/findings/flock-profile.ts";
import { growthAnimalTable } from "../../src/findings/growth-animal.ts";
import { growthSummaryTable } from "../../src/findings/growth-summary.ts";
import { lamenessTable } from "../../src/findings/lameness.ts";
import { lesionTable } from "../../src/findings/lesion.ts";
import { measurementErrorTable } from "../../src/findings/measurement-error.ts";
import { monthWatchTable } from "../../src/findings/month-watch.ts";
import { nextCheckTable } from "../../src/findings/next-check.ts";
import { qualityTable } from "../../src/findings/quality.ts";
import { flowSteps, recordFlowTable } from "../../src/findings/record-flow.ts";
import { retrimCurveTable, retrimSummaryTable } from "../../src/findings/retrim.ts";
import { signalTable } from "../../src/findings/signal.ts";
import { trimQualityTable } from "../../src/findings/trim-quality.ts";
import type { Language } from "../../src/records/language.ts";
import type { SeasonPageInput } from "../../src/report/season-page-input.ts";
import { day, emptyHistory, rowOf, seasonInput } from "./season-fixture.ts";

/** Names that a keeper would not give, but a sheet may hold. */
export const hostile = {
  flock: `<img src=x onerror=alert(1)> "Elm" & Hollow`,
  pen: `North</td><script>alert(2)</script>`,
  line: `O'Brien <b>&amp;`,
  trimmer: `"><svg onload=alert(3)>`,
  animal: `E-1"><i>`,
} as const;

const PLAIN_PEN = "Creek";
const PLAIN_LINE = "Ash";

const seasons = [
  { id: "2023-winter", name: "winter", year: 2023, from: day("2023-12-01"), to: day("2024-03-01") },
  { id: "2024-spring", name: "spring", year: 2024, from: day("2024-03-01"), to: day("2024-06-01") },
];

/** A flock of a dozen goats in which every finding has something to show, under names made to break a page. */
export function fullFlock(language: Language = "en"): SeasonPageInput {
  const animals = [hostile.animal, ...Array.from({ length: 11 }, (_, i) => `E${i + 2}`)];
  return seasonInput({
    language,
    animals,
    seasons,
    season: { earlier: "2023-winter", later: null },
    flock: { name: hostile.flock, unit: "in" },
    records: { read: 1412, taken: 1400, setAside: 10, repeats: 2 },
    scorers: ["Wren", "Perrin"],
    notifiable: [{ where: "trims.csv, row 7", says: `drooling <script>alert(4)</script>` }],
    treatments: { count: 3, withoutWithdrawal: 1, milkUntil: null, meatUntil: day("2024-06-03") },
    copperKnown: true,
    rationRises: [{ pen: hostile.pen, day: day("2024-04-02"), from: 11, to: 15.5 }],
    histories: { measure: "overhang", animals: animals.map(history) },
    findings: findings(animals),
  });
}

function history(animal: string, place: number): AnimalHistory {
  const at = (weeks: number): number => day("2023-12-10") + weeks * 7;
  return {
    ...emptyHistory(animal),
    sex: "female",
    line: place % 2 === 0 ? hostile.line : PLAIN_LINE,
    bornEarliest: day("2021-04-01"),
    bornLatest: day("2021-04-30"),
    pens: [{ pen: hostile.pen, from: 0, to: 100_000 }],
    claws: ["LF", "RF", "LH", "RH"].flatMap((foot) =>
      ["inner", "outer"].map((claw) => ({
        foot,
        claw,
        readings: [0, 8, 16].map((weeks, i) => ({
          day: at(weeks),
          before: 8 + i + (place % 3),
          after: 3,
          trimmed: true,
        })),
      })),
    ),
    gaits: [0, 4, 8, 12, 16, 20].map((weeks) => ({
      day: at(weeks),
      gait: place === 0 && weeks > 10 ? 4 : 1 + (place % 2),
      scale: "1-5",
      lameFrom: 3,
      lame: place === 0 && weeks > 10,
    })),
    lesions:
      place === 0 ? [{ day: at(16), foot: "LF", lesion: "footrot", healed: false, suspected: false }] : [],
    treatments: place === 0 ? [{ day: at(16), foot: "LF", treatment: `cleaned <u>` }] : [],
  };
}

function findings(animals: readonly string[]): Partial<SeasonPageInput["findings"]> {
  const first = animals[0]!;
  const growth = (group_kind: string, group_value: string, mm: number, half = 0.3) =>
    rowOf(growthSummaryTable, {
      group_kind,
      group_value,
      animals: 12,
      intervals: 34,
      rate_mm_30d: mm,
      lo: mm - half,
      hi: mm + half,
    });
  const lameness = (group_kind: string, group_value: string, share: number) =>
    rowOf(lamenessTable, {
      group_kind,
      group_value,
      gait_scale: "1-5",
      lame_from: 3,
      scored_animals: 12,
      lame_animals: 2,
      prevalence: 2 / 12,
      lo: 0.05,
      hi: 0.45,
      scores: 72,
      lame_scores: 5,
      point_prevalence: share,
      point_lo: share / 2,
      point_hi: share * 2,
      new_cases: 2,
      incidence_100_animal_months: 5.4,
      inc_lo: 0.7,
      inc_hi: 19.5,
      median_gap_days: 28,
    });
  const watched = (pen: string, month: string, lame: number, upper_limit: number | null) =>
    rowOf(monthWatchTable, {
      pen,
      month,
      gait_scale: "1-5",
      scored: 12,
      lame,
      centre: upper_limit === null ? null : 0.1,
      lower_limit: upper_limit === null ? null : 0,
      upper_limit,
      outside: upper_limit !== null && lame / 12 > upper_limit,
    });
  const check = (animal: string, look_order: number, given: object) =>
    rowOf(nextCheckTable, {
      animal,
      pen: hostile.pen,
      look_order,
      trim_order: animals.length + 1 - look_order,
      check_from: day("2024-05-20"),
      check_by: day("2024-05-27"),
      reason: "within_weeks(10)",
      urgency: "due",
      basis: "own measures",
      worst_foot: "LF",
      worst_claw: "inner",
      expected_overhang_mm: 9.525,
      p_over_limit_on_check_by: 0.2,
      ...given,
    });
  const cases = [
    rowOf(caseTable, {
      animal: first,
      kind: "lame and lesion",
      lesions: "footrot",
      smell: true,
      first_sign: day("2024-04-10"),
      first_treatment: day("2024-04-12"),
      days_to_treatment: 2,
      last_sign: day("2024-05-01"),
      severity: "4 of 1-5",
    }),
    rowOf(caseTable, {
      animal: "E2",
      kind: "lesion",
      lesions: "crack",
      first_sign: day("2024-04-20"),
      last_sign: day("2024-04-20"),
      closed: day("2024-05-02"),
    }),
  ];
  return {
    growthSummary: [
      growth("flock", "elm", 3.302),
      ...["LF", "RF", "LH", "RH"].map((foot, i) => growth("foot", foot, 3.1 + i / 10)),
      growth("pen", hostile.pen, 4.2),
      growth("pen", PLAIN_PEN, 2.6),
      growth("line", hostile.line, 3.5),
      growth("line", PLAIN_LINE, 3.2),
      growth("ground", "pasture", 4.2),
      growth("ground", "rocky range", 2.6),
      rowOf(growthSummaryTable, {
        group_kind: "line",
        group_value: "unknown",
        animals: 2,
        intervals: 3,
        caution: "too_few_animals(2,5)",
      }),
    ],
    flockGrowth: seasons.map(({ id }, i) => ({ ...growth("flock", "elm", 3.302 - i / 10), season: id })),
    growthAnimal: animals.map((animal, i) =>
      rowOf(growthAnimalTable, {
        animal,
        intervals: 4,
        rate_mm_30d: 2.8 + i / 10,
        lo: 2.5 + i / 10,
        hi: 3.1 + i / 10,
        flock_rank: animals.length - i,
      }),
    ),
    lameness: [
      lameness("flock", "elm", 0.07),
      lameness("pen", hostile.pen, 0.12),
      lameness("pen", PLAIN_PEN, 0.02),
      lameness("line", hostile.line, 0.09),
      lameness("line", PLAIN_LINE, 0.05),
    ],
    monthWatch: [
      watched(hostile.pen, "2024-02", 1, null),
      watched(hostile.pen, "2024-03", 1, 0.3),
      watched(hostile.pen, "2024-04", 6, 0.3),
      watched(PLAIN_PEN, "2024-04", 0, 0.3),
    ],
    signals: [
      rowOf(signalTable, {
        pen: hostile.pen,
        gait_scale: "1-5",
        started: day("2024-03-20"),
        signalled: day("2024-04-17"),
        lame: 6,
        expected: 1.24,
      }),
    ],
    flockLameness: seasons.map(({ id }) => ({ ...lameness("flock", "elm", 0.07), season: id })),
    lesion: ["footrot", "crack"].map((lesion, i) =>
      rowOf(lesionTable, {
        group_kind: "flock",
        group_value: "elm",
        lesion,
        examined_animals: 10,
        affected_animals: 2 - i,
        prevalence: (2 - i) / 10,
        lo: 0.02,
        hi: 0.5,
      }),
    ),
    coverage: [
      rowOf(coverageTable, {
        group_kind: "flock",
        group_value: "elm",
        present: 12,
        looked_at: 12,
        measured: 11,
        scored: 12,
      }),
    ],
    trimQuality: [
      ["flock", "elm", 90, 3],
      ["trimmer", hostile.trimmer, 50, 3],
      ["trimmer", "Tobin", 40, 0],
    ].map(([group_kind, group_value, trims, bled]) =>
      rowOf(trimQualityTable, {
        group_kind: String(group_kind),
        group_value: String(group_value),
        trims: Number(trims),
        bled: Number(bled),
        bled_rate: Number(bled) / Number(trims),
        lo: 0,
        hi: 0.17,
        staged: 2,
        staged_followed_up: 1,
      }),
    ),
    flockProfile: [
      rowOf(flockProfileTable, { trait: "sex", value: "female", animals: 12 }),
      rowOf(flockProfileTable, { trait: "pen", value: hostile.pen, animals: 12 }),
    ],
    recordFlow: flowSteps.map((step) => rowOf(recordFlowTable, { step, rows: 34, animals: 12 })),
    cases,
    liveCases: cases.slice(0, 1),
    caseSummary: [
      rowOf(caseSummaryTable, {
        group_kind: "flock",
        group_value: "elm",
        cases: 2,
        animals: 2,
        open: 1,
        treated: 1,
        median_days_to_treatment: 2,
        repeats: 0,
      }),
    ],
    retrimSummary: [
      rowOf(retrimSummaryTable, {
        group_kind: "flock",
        group_value: "elm",
        spells: 30,
        animals: 12,
        claws: 240,
        events: 20,
        median_days: 56,
        lo: 49,
        hi: 63,
      }),
    ],
    retrimCurve: [0, 28, 56, 84].map((at, i) =>
      rowOf(retrimCurveTable, {
        group_kind: "flock",
        group_value: "elm",
        method: "turnbull",
        day: at,
        not_yet_due: 1 - i / 4,
        lo: 0.9 - i / 4,
        hi: 1 - i / 5,
        known: i === 2 ? "not_known_between(42,56)" : null,
      }),
    ),
    nextCheck: [
      check(first, 1, {
        urgency: "now",
        reason: "lame_now(4);sore_now(footrot);smell_now",
        caution: "look_first_trim_last;vet_today",
      }),
      check("E2", 2, {}),
      check("E3", 3, { urgency: "routine", check_by: day("2024-07-01") }),
    ],
    lines: [hostile.line, PLAIN_LINE].map((line, i) =>
      rowOf(lineTable, {
        trait: "growth",
        line,
        animals: 6,
        difference: i === 0 ? 0.508 : -0.508,
        diff_lo: i === 0 ? 0.254 : -0.762,
        diff_hi: i === 0 ? 0.762 : -0.254,
        p_worse_than_flock: i === 0 ? 0.998 : 0.002,
      }),
    ),
    breedingValues: [
      rowOf(breedingValueTable, {
        trait: "growth",
        animal: "E2",
        sire: first,
        inbreeding: 0.125,
        value: 0.2,
        reliability: 0.4,
        p_worse_than_flock: 0.8,
      }),
      rowOf(breedingValueTable, {
        trait: "growth",
        animal: first,
        inbreeding: 0,
        value: 0.4,
        reliability: 0.6,
        p_worse_than_flock: 0.99,
      }),
    ],
    measurementError: [
      rowOf(measurementErrorTable, {
        measurer: "all",
        measure: "overhang",
        pairs: 40,
        technical_error_mm: 0.635,
        lo: 0.508,
        hi: 0.762,
        smallest_detectable_change_mm: 1.778,
      }),
    ],
    quality: [
      rowOf(qualityTable, {
        check_name: "trims without any length",
        rows_looked_at: 90,
        rows_flagged: 1,
        example: hostile.animal,
        advice: "A length before and after tells how fast the horn grows; a date alone does not.",
      }),
    ],
  };
}
