/** @jsxRuntime automatic @jsxImportSource preact */
import { CautionList } from "./caution-list.tsx";
import type { DrawChart } from "./charts/chart.ts";
import { seasonInWords } from "./dates.ts";
import { Facts } from "./page-facts.tsx";
import { PageFoot } from "./page-foot.tsx";
import { type PageFile, pageHtml } from "./page-shell.tsx";
import { breederQuestions } from "./readers/breeder.ts";
import { extensionQuestions } from "./readers/extension.ts";
import { vetQuestions } from "./readers/vet.ts";
import { renderSection } from "./render-section.tsx";
import { SeasonNav } from "./season-nav.tsx";
import type { Reader, SeasonPageInput } from "./season-page-input.ts";
import type { Section, SectionMaker } from "./section.ts";
import { checklistSection } from "./sections/study-report.ts";
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
  const sections = reader === "extension" ? [...made, checklistSection(language, made)] : made;
  const silent = sections.filter(isSilent);
  const rendered = await Promise.all(
    sections.filter((one) => !isSilent(one)).map((section) => renderSection(section, language, draw, reader)),
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
      <main class={reader === "extension" ? "tables" : undefined}>
        <ShortAnswer sections={sections} input={input} />
        {silent.length > 0 ? (
          <section id="cannot-tell" aria-labelledby="cannot-tell-heading">
            <h2 id="cannot-tell-heading">{words.cannotTell}</h2>
            <ul>
              {silent.map((section) => (
                <li key={section.id}>
                  {section.question} {section.heading}
                  {section.rests === "" ? "." : ` (${section.rests}).`}
                </li>
              ))}
            </ul>
          </section>
        ) : null}
        {rendered.map(({ body }) => body)}
      </main>
      <PageFoot input={input} />
    </>,
  );
  return [{ path: `${season.id}/${reader}.html`, content: html }, ...specs];
}

/** A question that this season's records cannot answer. */
function isSilent(section: Section): boolean {
  return (
    section.answer === undefined &&
    section.chart === undefined &&
    section.small === undefined &&
    section.table === undefined &&
    section.paste === undefined &&
    section.text === undefined
  );
}

function ShortAnswer({ sections, input }: { sections: readonly Section[]; input: SeasonPageInput }): VNode {
  const words = pageWords[input.language];
  const answered = sections
    .filter((section) => section.answer !== undefined)
    .sort((a, b) => b.answer!.strength - a.answer!.strength);
  return (
    <section class="answer" id="answer" aria-labelledby="answer-heading">
      <h2 id="answer-heading">{words.shortAnswer}</h2>
      {answered.length === 0 ? (
        <p>{words.nothingYet}</p>
      ) : (
        <ul>
          {answered.map((section) => (
            <li key={section.id}>
              <a href={`#${section.id}`}>{section.answer!.sentence}</a>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
