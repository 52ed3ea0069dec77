/** @jsxRuntime automatic @jsxImportSource preact */
import { CautionList } from "./caution-list.tsx";
import type { DrawChart } from "./charts/chart.ts";
import { seasonInWords } from "./dates.ts";
import { EndTables, endTablesOf } from "./end-tables.tsx";
import { Facts } from "./page-facts.tsx";
import { PageFoot } from "./page-foot.tsx";
import { type PageFile, pageHtml } from "./page-shell.tsx";
import { breederQuestions } from "./readers/breeder.ts";
import { extensionQuestions } from "./readers/extension.ts";
import { vetQuestions } from "./readers/vet.ts";
import { renderSection } from "./render-section.tsx";
import { SeasonNav } from "./season-nav.tsx";
import type { Reader, SeasonPageInput } from "./season-page-input.ts";
import { onSharedScales, type SectionMaker } from "./section.ts";
import { checklistSection } from "./sections/study-report.ts";
import { isSilent, ShortAnswer } from "./short-answer.tsx";
import { pageWords } from "./words/page.ts";

/** What each reader asks, in the order in which they would ask it. */
const questions: Readonly<Record<Reader, readonly SectionMaker[]>> = {
  breeder: breederQuestions,
  extension: extensionQuestions,
  vet: vetQuestions,
};

/** One reader's page of one season, and the specifications of its charts beside it. */
export async function seasonPage(
  input: SeasonPageInput,
  reader: Reader,
  draw: DrawChart,
): Promise<readonly PageFile[]> {
  const { language, season } = input;
  const words = pageWords[language];
  const made = questions[reader].map((make) => make(input)).filter((section) => section !== null);
  const sections = onSharedScales(
    reader === "extension" ? [...made, checklistSection(language, made)] : made,
  );
  const shown = sections.filter((one) => !isSilent(one));
  const moved = reader === "extension" ? endTablesOf(shown) : null;
  const rendered = await Promise.all(
    shown.map((section) =>
      renderSection(section, language, draw, reader, moved && (moved.get(section.id) ?? [])),
    ),
  );
  const specs = rendered.flatMap((section) =>
    section.specs.map((file) => ({ ...file, path: `${season.id}/${file.path}` })),
  );
  const title = `${input.flock.name}, ${seasonInWords(season.id, language)}`;
  const html = pageHtml(
    `${title}: ${words.readers[reader]}`,
    language,
    { left: title, right: words.readers[reader] },
    <>
      <header class="page">
        <CautionList input={input} place={reader} />
        <p class="question">{words.readerFor[reader]}</p>
        <h1>{title}</h1>
        <Facts input={input} prefix="../" />
        <SeasonNav input={input} here={reader} />
      </header>
      <main>
        <ShortAnswer sections={sections} language={language} />
        {rendered.map(({ body }) => body)}
        <EndTables tables={[...(moved?.values() ?? [])].flat()} language={language} />
      </main>
      <PageFoot input={input} />
    </>,
  );
  return [{ path: `${season.id}/${reader}.html`, content: html }, ...specs];
}
