import { dayInWords } from "../dates.ts";
import { length } from "../length-units.ts";
import { whole } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { type Section, shortColumn, wordsColumn } from "../section.ts";
import { checklist, references } from "../words/checklist.ts";
import { columnName } from "../words/columns.ts";
import { methodsText } from "../words/methods.ts";
import { pageWords } from "../words/page.ts";
import { studyWords } from "../words/study.ts";
import { flockLameness } from "./lameness.ts";

/** Methods as text that can be pasted into a report: only what was done for this flock and season. */
export function methodsSection(input: SeasonPageInput): Section {
  const { language, flock, season, findings } = input;
  const words = studyWords[language];
  const coverage = findings.coverage.find((row) => row.group_kind === "flock");
  const scale = flockLameness(input);
  return {
    id: "methods",
    question: words.methodsQuestion,
    heading: words.methodsHeading,
    rests: "",
    paste: methodsText[language]({
      flock: flock.name,
      from: dayInWords(season.from, language),
      to: dayInWords(Math.min(season.to - 1, input.today), language),
      present: whole(coverage?.present ?? 0, language),
      looked: whole(coverage?.looked_at ?? 0, language),
      scale: scale?.gait_scale ?? null,
      lameFrom: String(scale?.lame_from ?? ""),
      scorers: input.scorers.length,
      trimTo: length(flock.trimToMm, flock.unit, language),
      retrimAt: length(flock.retrimAtMm, flock.unit, language),
      rawMeans: findings.growthAnimal.every((row) => row.model_rate_mm_30d === null),
      associations: findings.association.some((row) => row.effect !== null),
      curves: findings.doseResponse.length > 0,
      watch: findings.monthWatch.some((row) => row.centre !== null),
      trial: findings.trialEffect.some((row) => row.difference !== null),
      breedingValues: findings.breedingValues.some((row) => row.value !== null),
      forecasts: findings.forecastScore.some((row) => row.brier !== null),
      version: input.version,
    }),
  };
}

/** Sources of the methods that this page used. */
export function referencesSection({ language, findings }: SeasonPageInput): Section {
  const words = studyWords[language];
  return {
    id: "references",
    question: words.referencesQuestion,
    heading: words.referencesHeading,
    rests: "",
    text: [
      ...references.always,
      ...(findings.growthAnimal.some((row) => row.model_rate_mm_30d !== null) ? references.models : []),
      ...(findings.association.some((row) => row.effect !== null) ? references.associations : []),
      ...(findings.monthWatch.some((row) => row.centre !== null) ? references.watch : []),
      ...(findings.forecastScore.some((row) => row.brier !== null) ? references.forecasts : []),
      ...(findings.breedingValues.length > 0 ? references.pedigree : []),
    ].sort(),
  };
}

/** Each item of the reporting checklist with the sections of this page that answer it. */
export function checklistSection(language: SeasonPageInput["language"], made: readonly Section[]): Section {
  const words = studyWords[language];
  const headings = new Map(made.map((section) => [section.id, section.question]));
  return {
    id: "checklist",
    question: words.checklistQuestion,
    heading: words.checklistHeading,
    rests: "",
    table: {
      caption: words.checklistQuestion,
      columns: [
        shortColumn(columnName("number", language)),
        wordsColumn(columnName("item", language)),
        wordsColumn(columnName("where", language)),
      ],
      rows: checklist.map((item, i) => {
        const here = item.sections.filter((id) => id === "answer" || headings.has(id));
        return [
          String(i + 1),
          item.asks[language],
          here.length === 0
            ? words.yoursToWrite
            : {
                links: here.map((id) => ({
                  href: `#${id}`,
                  text: headings.get(id) ?? pageWords[language].shortAnswer,
                })),
              },
        ];
      }),
    },
  };
}
