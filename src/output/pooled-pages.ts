import type { Book } from "../book/book.ts";
import { readSeasonFindings } from "../findings/season-findings.ts";
import type { ReadStudyData, StudyData } from "../findings/study-data.ts";
import { flocksTogether, readStudyFacts, readStudyFlocks } from "../findings/study-flocks.ts";
import type { Flock } from "../records/flock.ts";
import type { PageFile } from "../report/page-shell.tsx";
import { pooledPage } from "../report/pooled-page.tsx";
import { seasonPageInput } from "../report/season-page-input.ts";
import { pooledWords } from "../report/words/pooled.ts";
import type { SeasonPagesOptions } from "./season-pages.ts";
import { studyDataFiles } from "./study-data-files.ts";

/** The extension agent's pages of several flocks as one study, season by season. */
export async function pooledPages(
  book: Book,
  flocks: readonly Flock[],
  options: SeasonPagesOptions,
  readStudyData: ReadStudyData | null,
): Promise<readonly PageFile[]> {
  const { draw } = options;
  const language = options.language ?? flocksTogether(flocks, "").settings.language ?? "en";
  const together = flocksTogether(flocks, pooledWords[language].together(flocks.length));
  const spans = together.seasons.filter(
    (span, i, all) =>
      options.season === "all" ||
      (options.season === "latest" ? i === all.length - 1 : span.id === options.season),
  );
  const files: PageFile[] = [];
  for (const span of spans) {
    const data = readStudyData === null ? null : await dataOfAll(readStudyData, flocks, span.id);
    const pooled = seasonPageInput(
      together,
      span,
      await readStudyFacts(book, flocks, span.id),
      await readSeasonFindings(book, "all", span.id),
      { measure: "toe", animals: [] },
      language,
      options.version,
      data && { growth: data.growth.length, gait: data.gait.length },
    );
    const study = await readStudyFlocks(book, flocks, span.id);
    files.push(
      ...(await pooledPage({ pooled, study }, draw)),
      ...(data === null ? [] : studyDataFiles(span.id, data)),
    );
  }
  return files.map((file) => ({ ...file, path: `pooled/${file.path}` }));
}

async function dataOfAll(read: ReadStudyData, flocks: readonly Flock[], season: string): Promise<StudyData> {
  const all: { growth: StudyData["growth"][number][]; gait: StudyData["gait"][number][] } = {
    growth: [],
    gait: [],
  };
  for (const flock of flocks) {
    const span = flock.seasons.find(({ id }) => id === season);
    if (!span) continue;
    const { growth, gait } = await read(flock.id, span.from, span.to);
    all.growth.push(...growth);
    all.gait.push(...gait);
  }
  return all;
}
