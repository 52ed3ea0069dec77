import type { AnimalHistory } from "../../findings/animal-history.ts";
import { readCodes } from "../../records/codes.ts";
import { animalCell } from "../animal-anchor.ts";
import { historyStrip } from "../histories/history-lines.ts";
import { historyWindow, isWithin } from "../histories/history-window.ts";
import { chanceInWords } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { type DataTable, type Section, shortColumn, wordsColumn } from "../section.ts";
import { animalsWords } from "../words/animals.ts";
import { columnName } from "../words/columns.ts";
import { standingWords } from "../words/standings.ts";
import { flockRow } from "./growth.ts";

/** What a season's looks say of one goat; `unseen`: it was not looked at. */
export interface Standing {
  readonly history: AnimalHistory;
  readonly standing: "act" | "watch" | "nothing" | "unseen";
  readonly reasons: readonly string[];
}

/** The fastest tenth is watched, where each of them is faster than the flock at this chance. Project default. */
const WATCHED_CHANCE = 0.975;
const WATCHED_SHARE = 0.1;

/** Goats that want a decision, those that want watching, and those of which nothing was seen or looked for. */
export function standingsSection(input: SeasonPageInput): Section | null {
  const { language } = input;
  const words = standingWords[language];
  const all = standings(input);
  if (all.length === 0) return null;
  const of = (standing: Standing["standing"]): readonly Standing[] =>
    all.filter((one) => one.standing === standing);
  const [act, watch, nothing, unseen] = [of("act"), of("watch"), of("nothing"), of("unseen")];
  const heading = words.heading(act.length, watch.length, act.length + watch.length + nothing.length);
  return {
    id: "watch",
    question: words.question,
    heading,
    rests: act.length + watch.length > 0 ? words.stripKey : "",
    ...(act.length + watch.length > 0 ? { table: tableOf(input, [...act, ...watch]) } : {}),
    cautions: [words.notAPardon, ...(unseen.length > 0 ? [`${words.notLookedAt(unseen.length)}.`] : [])],
    ...(nothing.length > 0
      ? {
          rest: {
            summary: words.nothingSeen(nothing.length),
            table: tagsTable(input, words.nothingSeen(nothing.length), nothing),
          },
        }
      : {}),
    answer: { sentence: `${heading}.`, strength: 58 },
  };
}

/** Every goat of the season with what was seen of it. */
function standings(input: SeasonPageInput): readonly Standing[] {
  return input.histories.animals
    .filter(({ animal }) => input.animalPages.has(animal))
    .map((history) => {
      const act = reasonsToAct(input, history.animal);
      const watch = reasonsToWatch(input, history.animal);
      if (act.length > 0) return { history, standing: "act", reasons: [...act, ...watch] };
      if (watch.length > 0) return { history, standing: "watch", reasons: watch };
      return { history, standing: wasLookedAt(input, history) ? "nothing" : "unseen", reasons: [] };
    });
}

function reasonsToAct(input: SeasonPageInput, animal: string): readonly string[] {
  const words = standingWords[input.language];
  const { season, findings } = input;
  const cases = findings.cases.filter((one) => one.animal === animal);
  const live = season.isCurrent ? findings.liveCases.filter((one) => one.animal === animal) : [];
  const isOpen = [...cases, ...live].some((one) => one.closed === null);
  return [
    isOpen ? words.openCase : "",
    cases.some((one) => one.repeat_of !== null) ? words.repeatCase : "",
    cases.length > 1 ? words.severalCases(cases.length) : "",
  ].filter((reason) => reason !== "");
}

function reasonsToWatch(input: SeasonPageInput, animal: string): readonly string[] {
  const { language, season, findings } = input;
  const words = standingWords[language];
  const cases = findings.cases.filter((one) => one.animal === animal);
  const check = season.isCurrent ? findings.nextCheck.find((row) => row.animal === animal) : undefined;
  return [
    cases.length === 1 && cases[0]!.closed !== null && cases[0]!.repeat_of === null ? words.oneCase : "",
    fastGrowth(input, animal),
    readCodes(check?.reason ?? null).some(({ id }) => id === "severe_overgrowth") ? words.overgrown : "",
  ].filter((reason) => reason !== "");
}

/** Whether its hooves grow faster than the flock's: by the model's chance, else by limits clear of the mean. */
function fastGrowth(input: SeasonPageInput, animal: string): string {
  const words = standingWords[input.language];
  const row = input.findings.growthAnimal.find((one) => one.animal === animal);
  if (!row) return "";
  const chance = row.p_faster_than_flock;
  if (chance !== null) {
    const ranked = input.findings.growthAnimal.filter((one) => one.flock_rank !== null).length;
    const isAmongFastest = row.flock_rank !== null && row.flock_rank <= Math.ceil(WATCHED_SHARE * ranked);
    return isAmongFastest && chance >= WATCHED_CHANCE
      ? words.fastGrowth(chanceInWords(chance, input.language))
      : "";
  }
  const mean = flockRow(input)?.rate_mm_30d;
  return row.lo !== null && mean != null && row.lo > mean ? words.fastGrowthClear : "";
}

function wasLookedAt({ season }: SeasonPageInput, { claws, gaits, lesions }: AnimalHistory): boolean {
  const inSeason = ({ day }: { readonly day: number }): boolean => day >= season.from && day < season.to;
  return (
    claws.some(({ readings }) => readings.some(inSeason)) || gaits.some(inSeason) || lesions.some(inSeason)
  );
}

function tableOf(input: SeasonPageInput, rows: readonly Standing[]): DataTable {
  const { language } = input;
  const words = standingWords[language];
  const window = historyWindow(input);
  return {
    caption: words.question,
    columns: [
      shortColumn(columnName("animal", language)),
      shortColumn(columnName("standing", language)),
      wordsColumn(words.seen),
      shortColumn(columnName("history", language)),
    ],
    rows: rows.map(({ history, standing, reasons }) => {
      const gaits = history.gaits.filter(({ day }) => isWithin(day, window));
      const says = animalsWords[language].stripSays(
        gaits.length,
        gaits.filter(({ lame }) => lame).length,
        history.lesions.filter(({ day }) => isWithin(day, window)).length,
      );
      return [
        animalCell(input, history.animal),
        standing === "act" ? words.standing.act : words.standing.watch,
        reasons.join("; "),
        { svg: historyStrip(history, window, says) },
      ];
    }),
  };
}

/** Tags alone, several a row. */
function tagsTable(input: SeasonPageInput, caption: string, rows: readonly Standing[]): DataTable {
  return {
    caption,
    columns: [wordsColumn(columnName("animal", input.language))],
    rows: [
      [
        {
          links: rows.map(({ history }) => {
            const cell = animalCell(input, history.animal);
            return typeof cell === "string" ? { text: cell, href: "#watch" } : cell;
          }),
        },
      ],
    ],
  };
}
