/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import { cautionsInForce } from "./cautions.ts";
import type { DrawChart } from "./charts/chart.ts";
import { dayInWords, seasonInWords } from "./dates.ts";
import { whole } from "./numbers.ts";
import { CautionBox, type PageFile, pageHtml, renderSection } from "./page-shell.tsx";
import { type Reader, readers, type SeasonPageInput } from "./season-page-input.ts";
import type { Section } from "./section.ts";
import { animalGrowthSection } from "./sections/animals.ts";
import { caseSection } from "./sections/cases.ts";
import { growthBySection, growthSection } from "./sections/growth.ts";
import { lamenessBySection, lamenessSection, mainScale } from "./sections/lameness.ts";
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
        {cautionsInForce(input, reader).map((caution) => (
          <CautionBox key={caution.rank} heading={caution.heading[input.language]}>
            <p>{caution.says[input.language]}</p>
            {caution.names ? (
              <ul>
                {caution.names(input).map((name) => (
                  <li key={name}>{name}</li>
                ))}
              </ul>
            ) : null}
          </CautionBox>
        ))}
        <p class="question">{words.readerFor[reader]}</p>
        <h1>{title}</h1>
        <Facts input={input} />
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

/** What the page speaks of and rests on, in the order that every page has. */
function Facts({ input }: { input: SeasonPageInput }): VNode {
  const { language, flock, season, findings, records } = input;
  const words = pageWords[language];
  const coverage = findings.coverage.find((row) => row.group_kind === "flock");
  const scale = mainScale(findings.lameness.filter((row) => row.group_kind === "flock"));
  const since = input.today - input.lastRecord;
  const scorers = flock.namePeople ? input.scorers : input.scorers.map((_, i) => words.scorer(i + 1));
  const n = (value: number): string => whole(value, language);
  return (
    <>
      {since > STALE_DAYS ? <p class="note">{words.stale(since)}</p> : null}
      <dl class="facts">
        <dt>{words.season}</dt>
        <dd>
          {words.seasonDays(
            dayInWords(season.from, language),
            dayInWords(season.to - 1, language),
            season.soFar,
          )}
        </dd>
        <dt>{words.speaksOf}</dt>
        <dd>{words.lastRecord(dayInWords(input.today, language), since)}</dd>
        <dt>{words.present}</dt>
        <dd>
          {coverage
            ? words.counts(coverage.present, coverage.looked_at, coverage.measured, coverage.scored)
            : words.counts(0, 0, 0, 0)}
        </dd>
        <dt>{words.scoredBy}</dt>
        <dd>
          {scorers.length > 0 ? `${scorers.join(", ")}. ` : ""}
          {scale ? `${words.scale(scale.gait_scale, scale.lame_from)}.` : words.noScores}
        </dd>
        <dt>{words.records}</dt>
        <dd>
          <a href="../intake.html">
            {words.sum(n(records.read), n(records.taken), n(records.setAside), n(records.repeats))}
          </a>
        </dd>
      </dl>
    </>
  );
}

/** Days after the last record from which the page warns that it speaks of the past. Project default. */
const STALE_DAYS = 21;
