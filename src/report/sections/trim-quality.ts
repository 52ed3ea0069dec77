import { percentWithLimits, whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import type { Section } from "../section.ts";
import { findingWords } from "../words/findings.ts";
import { pageWords } from "../words/page.ts";

/** How the trims went: bleeding, over-trimming, claws left long, stages followed up, by trimmer. */
export function trimQualitySection({ language, flock, findings }: SeasonPageInput): Section {
  const words = findingWords[language];
  const all = findings.trimQuality.find((row) => row.group_kind === "flock");
  if (!all) return { id: "trims", question: words.trimQuestion, heading: words.trimNone, rests: "" };
  const trimmers = findings.trimQuality.filter((row) => row.group_kind === "trimmer");
  const nameOf = new Map(
    trimmers.map((row, i) => [
      row.group_value,
      flock.namePeople ? row.group_value : pageWords[language].trimmer(i + 1),
    ]),
  );
  const outside = trimmers.filter((row) => row.outside_limits === true);
  const text = [
    all.staged > 0 ? words.stagedSentence(all.staged, all.staged_followed_up) : "",
    ...outside.map((row) => words.trimOutside(nameOf.get(row.group_value)!)),
  ].filter((sentence) => sentence !== "");
  return {
    id: "trims",
    question: words.trimQuestion,
    heading: words.trimHeading(all.bled, whole(all.trims, language)),
    ...(text.length > 0 ? { text: [text.join(" ")] } : {}),
    rests: "",
    table: {
      caption: words.trimQuestion,
      columns: [
        { name: words.columns.group, numeric: false },
        { name: words.columns.trims, numeric: true },
        { name: words.columns.bled, numeric: true },
        { name: words.columns.share, numeric: true },
        { name: words.columns.overTrimmed, numeric: true },
        { name: words.columns.leftLong, numeric: true },
      ],
      rows: [all, ...trimmers].map((row) => [
        row.group_kind === "flock" ? words.flockMean : nameOf.get(row.group_value)!,
        whole(row.trims, language),
        whole(row.bled, language),
        row.bled_rate === null
          ? ""
          : percentWithLimits({ value: row.bled_rate, lo: row.lo, hi: row.hi }, language),
        whole(row.over_trimmed, language),
        whole(row.left_long, language),
      ]),
    },
  };
}
