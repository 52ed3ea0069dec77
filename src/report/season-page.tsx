/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import { CautionList } from "./caution-list.tsx";
import type { DrawChart } from "./charts/chart.ts";
import { seasonInWords } from "./dates.ts";
import { Facts } from "./page-facts.tsx";
import { type PageFile, pageHtml, renderSection } from "./page-shell.tsx";
import { type Reader, readers, type SeasonPageInput } from "./season-page-input.ts";
import type { Section } from "./section.ts";
import { animalGrowthSection } from "./sections/animals.ts";
import { caseSection } from "./sections/cases.ts";
import { growthBySection, growthSection } from "./sections/growth.ts";
import { lamenessBySection, lamenessSection } from "./sections/lameness.ts";
import { lesionSection } from "./sections/lesions.ts";
import { nextCheckSection } from "./sections/next-checks.ts";
import { qualitySection } from "./sections/quality.ts";
import { retrimByGroundSection, retrimSection } from "./sections/retrim.ts";
import { trimQualitySection } from "./sections/trim-quality.ts";
import { pageWords } from "./words/page.ts";

type SectionMaker = (input: SeasonPageInput) => Section | null;

/** What each reader asks, in the order in which they would ask it. */
const questions: Readonly<Record<Reader, readonly SectionMaker[]>> = {
  breeder: [
    (input) => growthBySection(input, "line"),
    (input) => lamenessBySection(input, "line"),
    animalGrowthSection,
    growthSection,
    lamenessSection,
  ],
  extension: [
    growthSection,
    (input) => growthBySection(input, "ground"),
    (input) => growthBySection(input, "pen"),
    (input) => growthBySection(input, "age_band"),
    (input) => growthBySection(input, "class"),
    (input) => growthBySection(input, "arm"),
    lamenessSection,
    (input) => lamenessBySection(input, "pen"),
    (input) => lamenessBySection(input, "ground"),
    (input) => lamenessBySection(input, "age_band"),
    retrimSection,
    retrimByGroundSection,
    qualitySection,
  ],
  vet: [
    nextCheckSection,
    lamenessSection,
    (input) => lamenessBySection(input, "pen"),
    caseSection,
    lesionSection,
    trimQualitySection,
    retrimSection,
  ],
};

/** One reader's page of one season, and the specifications of its charts beside it. */
export async function seasonPage(
  input: SeasonPageInput,
  reader: Reader,
  draw: DrawChart,
): Promise<readonly PageFile[]> {
  const words = pageWords[input.language];
  const sections = questions[reader].map((make) => make(input)).filter((section) => section !== null);
  const answered = sections
    .filter((section) => section.answer !== undefined)
    .sort((a, b) => b.answer!.strength - a.answer!.strength);
  const silent = sections.filter(
    (section) => section.answer === undefined && section.chart === undefined && section.table === undefined,
  );
  const specs: PageFile[] = [];
  const bodies: VNode[] = [];
  for (const section of sections.filter((one) => !silent.includes(one))) {
    const href = section.chart ? `charts/${reader}-${section.id}.vl.json` : null;
    if (section.chart && href)
      specs.push({ path: `${input.season.id}/${href}`, content: `${JSON.stringify(section.chart.spec)}\n` });
    bodies.push(await renderSection(section, input.language, draw, href));
  }
  const title = `${input.flock.name}, ${seasonInWords(input.season.id, input.language)}`;
  const html = pageHtml(
    `${title}: ${words.readers[reader]}`,
    input.language,
    <>
      <header class="page">
        <CautionList input={input} place={reader} />
        <p class="question">{words.readerFor[reader]}</p>
        <h1>{title}</h1>
        <Facts input={input} prefix="../" />
        <nav aria-label={words.otherPages}>
          <ul>
            <li>
              <a href="../index.html">{words.readers.keeper}</a>
            </li>
            {readers
              .filter((other) => other !== reader)
              .map((other) => (
                <li key={other}>
                  <a href={`${other}.html`}>{words.readers[other]}</a>
                </li>
              ))}
          </ul>
        </nav>
      </header>
      <main>
        <section class="answer" id="answer" aria-labelledby="answer-heading">
          <h2 id="answer-heading">{words.shortAnswer}</h2>
          {answered.length === 0 ? (
            <p>{words.nothingYet}</p>
          ) : (
            <ul class="lead">
              {answered.map((section) => (
                <li key={section.id}>
                  <a href={`#${section.id}`}>{section.answer!.sentence}</a>
                </li>
              ))}
            </ul>
          )}
        </section>
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
        {bodies}
      </main>
      <footer class="page">
        <p>{words.monthFoot}</p>
        <p>{words.associationFoot}</p>
        <p>
          {words.pageOf} {input.version}
        </p>
      </footer>
    </>,
  );
  return [{ path: `${input.season.id}/${reader}.html`, content: html }, ...specs];
}
