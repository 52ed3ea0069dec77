import type { Book } from "../book/book.ts";
import { type FlockHistory, readFlockHistory } from "../findings/animal-history.ts";
import { readSeasonFacts } from "../findings/season-facts.ts";
import { readSeasonFindings } from "../findings/season-findings.ts";
import type { ReadStudyData, StudyData } from "../findings/study-data.ts";
import type { Flock } from "../records/flock.ts";
import type { Language } from "../records/language.ts";
import type { SeasonSpan } from "../records/seasons.ts";
import { animalsPages } from "../report/animals-page.tsx";
import type { DrawChart } from "../report/charts/chart.ts";
import { handoutPage } from "../report/handout-page.tsx";
import type { PageFile } from "../report/page-shell.tsx";
import { seasonPage } from "../report/season-page.tsx";
import { type Reader, readers, type SeasonPageInput, seasonPageInput } from "../report/season-page-input.ts";
import { studyDataFiles } from "./study-data-files.ts";

export interface SeasonPagesOptions {
  readonly language: Language | null;
  /** A season's id, `all` for every season, or `latest`. */
  readonly season: string;
  readonly reader: Reader | "all";
  readonly version: string;
  readonly draw: DrawChart;
}

/** The pages of one flock, season by season and reader by reader. */
export async function seasonPages(
  book: Book,
  flock: Flock,
  options: SeasonPagesOptions,
  readStudyData: ReadStudyData | null,
): Promise<readonly PageFile[]> {
  const spans = flock.seasons.filter((span, i, all) =>
    options.season === "all"
      ? true
      : options.season === "latest"
        ? i === all.length - 1
        : span.id === options.season,
  );
  const { draw } = options;
  const histories = await readFlockHistory(book, flock.id, flock.today);
  // The book is read season by season; while charts are drawn on other threads the next season is read.
  const making: Promise<readonly PageFile[]>[] = [];
  for (const span of spans) {
    const data = (await readStudyData?.(flock.id, span.from, span.to)) ?? null;
    const input = await inputOf(book, flock, span, histories, options, data);
    making.push(
      ...readers
        .filter((one) => options.reader === "all" || options.reader === one)
        .map((reader) => seasonPage(input, reader, draw)),
      handoutPage(input, draw).then((page) => [page]),
      Promise.resolve([...(data === null ? [] : studyDataFiles(span.id, data)), ...animalsPages(input)]),
    );
  }
  return (await Promise.all(making)).flat();
}

/** What the keeper's own pages are made from: the season that holds the flock's day. */
export async function latestInput(
  book: Book,
  flock: Flock,
  options: Omit<SeasonPagesOptions, "draw">,
): Promise<SeasonPageInput> {
  const histories = await readFlockHistory(book, flock.id, flock.today);
  return inputOf(book, flock, flock.seasons.at(-1)!, histories, options);
}

async function inputOf(
  book: Book,
  flock: Flock,
  span: SeasonSpan,
  histories: FlockHistory,
  options: Omit<SeasonPagesOptions, "draw">,
  data: StudyData | null = null,
): Promise<SeasonPageInput> {
  const facts = await readSeasonFacts(book, flock, span.from, span.to);
  const findings = await readSeasonFindings(book, flock.id, span.id);
  const language = options.language ?? flock.settings.language ?? "en";
  const rows = data === null ? null : { growth: data.growth.length, gait: data.gait.length };
  return seasonPageInput(flock, span, facts, findings, histories, language, options.version, rows);
}
