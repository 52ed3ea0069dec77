import type { BetweenFlocksRow } from "../../findings/between-flocks.ts";
import type { LamenessRow } from "../../findings/lameness.ts";
import { readCodes, wordCode } from "../../records/codes.ts";
import { type IntervalRow, intervalPlot } from "../charts/interval-plot.ts";
import { limitsPerMonth, ratePerMonth, toLengthUnit, unitName } from "../length-units.ts";
import { percentWithLimits, pValue, ratioWithLimits, whole } from "../numbers.ts";
import type { PooledPageInput } from "../pooled-page-input.ts";
import { numberColumn, type Section, shortColumn, wordsColumn } from "../section.ts";
import { associationWords } from "../words/associations.ts";
import { columnName } from "../words/columns.ts";
import { capital } from "../words/count.ts";
import { groupWords } from "../words/groups.ts";
import { growthWords } from "../words/growth.ts";
import { lamenessWords } from "../words/lameness.ts";
import { pooledWords } from "../words/pooled.ts";
import { studyWords } from "../words/study.ts";
import { flockRow } from "./growth.ts";

/** p below which flocks lie further apart than their own limits explain. */
const APART = 0.05;

/** Which flocks there are, how much of each was looked at, and on which scale its goats were scored. */
export function flocksSection({ pooled, study }: PooledPageInput): Section {
  const { language } = pooled;
  const words = pooledWords[language];
  const there = study.flocks.filter(({ coverage }) => coverage !== null);
  return {
    id: "flocks",
    question: words.flocksQuestion,
    heading: words.flocksHeading(
      there.length,
      there.reduce((sum, { coverage }) => sum + coverage!.present, 0),
    ),
    rests: "",
    table: {
      caption: words.flocksQuestion,
      columns: [
        wordsColumn(words.eachFlock),
        ...(["present", "lookedAt", "measured", "scored"] as const).map((id) =>
          numberColumn(columnName(id, language)),
        ),
        shortColumn(words.scaleColumn),
      ],
      rows: there.map(({ name, coverage, lameness }) => [
        name,
        ...[coverage!.present, coverage!.looked_at, coverage!.measured, coverage!.scored].map((n) =>
          whole(n, language),
        ),
        lameness.map((row) => words.scale(row.gait_scale, String(row.lame_from))).join("; ") ||
          words.notScored,
      ]),
    },
  };
}

/** Growth of each flock beside that of all, and whether the flocks differ. */
export function flocksGrowthSection({ pooled, study }: PooledPageInput): Section {
  const { language, flock } = pooled;
  const words = pooledWords[language];
  const all = flockRow(pooled);
  if (all?.rate_mm_30d == null)
    return { id: "growth", question: words.growthQuestion, heading: words.growthNone, rests: "" };
  const between = study.between.find(({ measure }) => measure === "growth");
  const rate = (value: number, lo: number | null, hi: number | null): string =>
    ratePerMonth({ value, lo, hi }, flock.unit, language);
  const said = words.growthSentence(
    rate(all.rate_mm_30d, all.lo, all.hi),
    all.animals,
    between?.flocks ?? study.flocks.length,
  );
  const known = study.flocks.flatMap(({ name, growth }) => (growth === null ? [] : [{ name, growth }]));
  const heading = words.growthHeading(rate(all.rate_mm_30d, null, null));
  return {
    id: "growth",
    question: words.growthQuestion,
    heading,
    text: [
      [said, ...betweenSentences(between, pooled.language, (value) => rate(value, null, null), rate)].join(
        " ",
      ),
    ],
    chart: intervalPlot({
      title: heading,
      axis: growthWords[language].axis(unitName(flock.unit, language)),
      counted: columnName("animals", language).toLowerCase(),
      rows: known.map(({ name, growth }): IntervalRow => {
        const scaled = (mm: number | null): number | null =>
          mm === null ? null : toLengthUnit(mm, flock.unit);
        const reason = reasonOf(growth.caution, language);
        return {
          label: name,
          value: scaled(growth.rate_mm_30d),
          lo: scaled(growth.lo),
          hi: scaled(growth.hi),
          count: whole(growth.animals, language),
          says: `${name}: ${growth.rate_mm_30d === null ? reason : rate(growth.rate_mm_30d, growth.lo, growth.hi)}`,
          reason: capital(reason),
        };
      }),
      reference: { value: toLengthUnit(all.rate_mm_30d, flock.unit), label: words.allFlocks },
    }),
    rests: growthWords[language].rests(all.animals, all.intervals),
    table: {
      caption: words.growthQuestion,
      columns: [
        wordsColumn(words.eachFlock),
        numberColumn(columnName("animals", language)),
        numberColumn(columnName("intervals", language)),
        numberColumn(
          `${columnName("rate", language)}, ${unitName(flock.unit, language)}, ${columnName("limits", language)}`,
        ),
      ],
      rows: [...known, { name: capital(words.allFlocks), growth: all }].map(({ name, growth }) => [
        name,
        whole(growth.animals, language),
        whole(growth.intervals, language),
        limitsPerMonth(growth.rate_mm_30d, growth.lo, growth.hi, flock.unit, language),
      ]),
    },
    answer: { sentence: said, strength: 50 },
  };
}

/** Lameness of each flock on its own scale; flocks of one scale and mark beside their common figure. */
export function flocksLamenessSection({ pooled, study }: PooledPageInput): Section {
  const { language, findings } = pooled;
  const words = pooledWords[language];
  const rows = study.flocks.flatMap(({ name, lameness }) => lameness.map((row) => ({ name, row })));
  const scales = [...new Set(rows.map(({ row }) => `${row.gait_scale}\n${row.lame_from}`))].sort();
  if (rows.every(({ row }) => row.point_prevalence === null))
    return { id: "lameness", question: words.lamenessQuestion, heading: words.lamenessNone, rests: "" };
  const commonOf = (scale: string): LamenessRow | undefined =>
    findings.lameness.find(
      (row) =>
        row.group_kind === "flock" &&
        `${row.gait_scale}\n${row.lame_from}` === scale &&
        row.prevalence !== null,
    );
  const sentences = scales.flatMap((scale) => {
    const row = commonOf(scale);
    if (!row) return [];
    const share = percentWithLimits({ value: row.prevalence!, lo: row.lo, hi: row.hi }, language);
    const between = study.between.find(
      (one) => one.measure === "lame_on_a_day" && one.gait_scale === row.gait_scale,
    );
    const bare = (value: number): string => percentWithLimits({ value, lo: null, hi: null }, language);
    const full = (value: number, lo: number | null, hi: number | null): string =>
      percentWithLimits({ value, lo, hi }, language);
    return [
      [
        words.lamenessPooled(row.lame_animals, row.scored_animals, share, row.gait_scale),
        ...betweenSentences(between, language, bare, full),
      ].join(" "),
    ];
  });
  return {
    id: "lameness",
    question: words.lamenessQuestion,
    heading: words.lamenessHeading(scales.length),
    ...(sentences.length > 0 ? { text: sentences } : {}),
    small: scales.map((scale) => {
      const own = rows.filter(({ row }) => `${row.gait_scale}\n${row.lame_from}` === scale);
      const common = commonOf(scale)?.point_prevalence ?? null;
      const { gait_scale, lame_from } = own[0]!.row;
      return intervalPlot({
        title: capital(words.onScale(gait_scale, String(lame_from))),
        axis: lamenessWords[language].axis,
        counted: columnName("animals", language).toLowerCase(),
        rows: own.map(({ name, row }): IntervalRow => {
          const reason = reasonOf(row.caution, language);
          return {
            label: `${name}, ${words.onScale(gait_scale, String(lame_from))}`,
            value: row.point_prevalence,
            lo: row.point_lo,
            hi: row.point_hi,
            count: whole(row.scored_animals, language),
            says: `${name}: ${row.point_prevalence === null ? reason : percentWithLimits({ value: row.point_prevalence, lo: row.point_lo, hi: row.point_hi }, language)}`,
            reason: capital(reason),
          };
        }),
        share: true,
        ...(common === null ? {} : { reference: { value: common, label: words.allFlocks } }),
      });
    }),
    rests: "",
    cautions: [words.scalesApart],
    table: {
      caption: words.lamenessQuestion,
      columns: [
        wordsColumn(words.eachFlock),
        shortColumn(words.scaleColumn),
        numberColumn(columnName("scored", language)),
        numberColumn(columnName("scores", language)),
        numberColumn(columnName("lame", language)),
        numberColumn(columnName("share", language)),
      ],
      rows: [
        ...rows,
        ...findings.lameness
          .filter((row) => row.group_kind === "flock")
          .map((row) => ({ name: capital(words.allFlocks), row })),
      ].map(({ name, row }) => [
        name,
        words.scale(row.gait_scale, String(row.lame_from)),
        whole(row.scored_animals, language),
        whole(row.scores, language),
        whole(row.lame_scores, language),
        row.point_prevalence === null
          ? ""
          : percentWithLimits({ value: row.point_prevalence, lo: row.point_lo, hi: row.point_hi }, language),
      ]),
    },
    ...(sentences[0] === undefined ? {} : { answer: { sentence: sentences[0], strength: 60 } }),
  };
}

const GROUP_ORDER = ["ground", "age_band", "class"];

/** Groups of goats against the other goats of their own flock, all flocks put together by that difference. */
export function withinFlocksSection({ pooled, study }: PooledPageInput): Section {
  const { language } = pooled;
  const words = pooledWords[language];
  const { label } = groupWords[language];
  // bands of age and classes share words
  const nameOf = (row: { readonly group_kind: string; readonly group_value: string }): string =>
    `${label(row.group_kind, row.group_value)} (${studyWords[language].traits[row.group_kind] ?? row.group_kind})`;
  const rows = [...study.within].sort(
    (a, b) => GROUP_ORDER.indexOf(a.group_kind) - GROUP_ORDER.indexOf(b.group_kind),
  );
  const known = rows.flatMap(({ odds_ratio, lo, hi, ...row }) =>
    odds_ratio === null || lo === null || hi === null ? [] : [{ ...row, value: odds_ratio, lo, hi }],
  );
  if (known.length === 0)
    return { id: "within-flocks", question: words.withinQuestion, heading: words.withinNone, rests: "" };
  const clear = known.filter(({ lo, hi }) => lo > 1 || hi < 1);
  const heading = words.withinHeading(clear.map(nameOf));
  const flocks = Math.max(...known.map((row) => row.flocks));
  return {
    id: "within-flocks",
    question: words.withinQuestion,
    heading,
    text: [words.withinText],
    chart: intervalPlot({
      title: heading,
      axis: words.withinAxis,
      counted: columnName("animals", language).toLowerCase(),
      ratio: true,
      rows: known.map((row): IntervalRow => {
        const name = nameOf(row);
        return {
          label: name,
          value: row.value,
          lo: row.lo,
          hi: row.hi,
          count: whole(row.scored_animals, language),
          says: `${name}: ${ratioWithLimits(row, language)}`,
          reason: "",
        };
      }),
      reference: { value: 1, label: associationWords[language].noDifference },
      endWords: associationWords[language].ends.lame,
    }),
    rests: words.together(flocks),
    table: {
      caption: words.withinQuestion,
      columns: [
        wordsColumn(columnName("group", language)),
        numberColumn(columnName("scored", language)),
        numberColumn(columnName("lame", language)),
        numberColumn(words.ratioColumn),
      ],
      rows: known.map((row) => [
        nameOf(row),
        whole(row.scored_animals, language),
        whole(row.lame_animals, language),
        ratioWithLimits(row, language),
      ]),
    },
  };
}

/** Whether the flocks are alike, and what they say of others. */
function betweenSentences(
  row: BetweenFlocksRow | undefined,
  language: "en" | "es",
  bare: (value: number) => string,
  full: (value: number, lo: number | null, hi: number | null) => string,
): readonly string[] {
  if (!row) return [];
  const words = pooledWords[language];
  return [
    ...(row.p_alike === null
      ? []
      : [(row.p_alike < APART ? words.apart : words.alike)(pValue(row.p_alike, language))]),
    row.typical === null
      ? words.tooFewForOthers(row.flocks)
      : words.typical(full(row.typical, row.lo, row.hi), bare(row.next_lo!), bare(row.next_hi!)),
  ];
}

function reasonOf(caution: string | null, language: "en" | "es"): string {
  const why = readCodes(caution)[0];
  return why ? wordCode(why, language) : "";
}
