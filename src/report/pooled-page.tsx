/** @jsxRuntime automatic @jsxImportSource preact */
import { CautionList } from "./caution-list.tsx";
import type { DrawChart } from "./charts/chart.ts";
import { dayInWords, seasonInWords } from "./dates.ts";
import { EndTables, endTablesOf } from "./end-tables.tsx";
import { whole } from "./numbers.ts";
import { PageFoot } from "./page-foot.tsx";
import { type PageFile, pageHtml } from "./page-shell.tsx";
import type { PooledPageInput } from "./pooled-page-input.ts";
import { renderSection } from "./render-section.tsx";
import { onSharedScales, type Section } from "./section.ts";
import { associationSection } from "./sections/associations.ts";
import { doseSection } from "./sections/dose-response.ts";
import { flockDifferencesSection } from "./sections/flock-differences.ts";
import { flockProfileSection } from "./sections/flock-profile.ts";
import { flocksBesideSection } from "./sections/pooled-associations.ts";
import {
  flocksGrowthSection,
  flocksLamenessSection,
  flocksSection,
  withinFlocksSection,
} from "./sections/pooled-figures.ts";
import { recordFlowSection } from "./sections/record-flow.ts";
import { seasonsGrowthSection } from "./sections/seasons.ts";
import { sensitivitySection } from "./sections/sensitivity.ts";
import { studyDataSection } from "./sections/study-data.ts";
import { checklistSection, referencesSection } from "./sections/study-report.ts";
import { isSilent, ShortAnswer } from "./short-answer.tsx";
import { references } from "./words/checklist.ts";
import { pageWords } from "./words/page.ts";
import { pooledWords } from "./words/pooled.ts";
import { studyWords } from "./words/study.ts";

/** What an extension agent asks of several flocks as one study, in order. */
const questions: readonly ((input: PooledPageInput) => Section | null)[] = [
  flocksSection,
  profileSection,
  ({ pooled }) => recordFlowSection(pooled),
  flocksGrowthSection,
  ({ pooled }) => seasonsGrowthSection(pooled),
  (input) => flockDifferencesSection(input, "growth"),
  flocksLamenessSection,
  withinFlocksSection,
  (input) => flockDifferencesSection(input, "time_to_retrim"),
  ({ pooled }) => associationSection(pooled, "growth"),
  (input) => flocksBesideSection(input, "growth"),
  ({ pooled }) => associationSection(pooled, "lame"),
  (input) => flocksBesideSection(input, "lame"),
  ({ pooled }) => associationSection(pooled, "new_lameness"),
  (input) => flocksBesideSection(input, "new_lameness"),
  ({ pooled }) => doseSection(pooled),
  ({ pooled }) => sensitivitySection(pooled),
  ({ pooled }) => studyDataSection(pooled),
  methodsSection,
  sourcesSection,
];

/** The extension agent's page of one season of several flocks, and the specifications of its charts beside it. */
export async function pooledPage(input: PooledPageInput, draw: DrawChart): Promise<readonly PageFile[]> {
  const { pooled } = input;
  const { language, season } = pooled;
  const words = pooledWords[language];
  const page = pageWords[language];
  const made = questions.map((make) => make(input)).filter((section) => section !== null);
  const sections = onSharedScales([...made, checklistSection(language, made)]);
  const shown = sections.filter((one) => !isSilent(one));
  const moved = endTablesOf(shown);
  const rendered = await Promise.all(
    shown.map((one) => renderSection(one, language, draw, "extension", moved.get(one.id) ?? [])),
  );
  const title = `${pooled.flock.name}, ${seasonInWords(season.id, language)}`;
  const n = (value: number): string => whole(value, language);
  const { read, taken, setAside, repeats } = pooled.records;
  const html = pageHtml(
    `${title}: ${words.reader}`,
    language,
    { left: title, right: words.reader },
    <>
      <header class="page">
        <CautionList input={pooled} place="extension" />
        <p class="question">{words.readerFor}</p>
        <h1>{title}</h1>
        <dl class="facts">
          <dt>{words.eachFlock}</dt>
          <dd>{input.study.flocks.map(({ name }) => name).join(", ")}</dd>
          <dt>{page.season}</dt>
          <dd>
            {page.seasonDays(
              dayInWords(season.from, language),
              dayInWords(season.to - 1, language),
              season.soFar,
            )}
          </dd>
          <dt>{page.speaksOf}</dt>
          <dd>{page.lastRecord(dayInWords(pooled.today, language), pooled.today - pooled.lastRecord)}</dd>
          <dt>{page.records}</dt>
          <dd>{page.sum(n(read), n(taken), n(setAside), n(repeats))}</dd>
        </dl>
        <nav aria-label={page.otherPages}>
          <ul>
            <li>
              <a href="../../index.html">{words.eachFlock}</a>
            </li>
            {[season.earlier, season.later].map((other, i) =>
              other === null ? null : (
                <li key={other}>
                  <a href={`../${other}/extension.html`}>
                    {i === 0 ? `← ${seasonInWords(other, language)}` : `${seasonInWords(other, language)} →`}
                  </a>
                </li>
              ),
            )}
          </ul>
        </nav>
      </header>
      <main>
        <ShortAnswer sections={sections} language={language} />
        {rendered.map(({ body }) => body)}
        <EndTables tables={[...moved.values()].flat()} language={language} />
      </main>
      <PageFoot input={pooled} />
    </>,
  );
  const specs = rendered.flatMap((section) =>
    section.specs.map((file) => ({ ...file, path: `${season.id}/${file.path}` })),
  );
  return [{ path: `${season.id}/extension.html`, content: html }, ...specs];
}

function profileSection({ pooled }: PooledPageInput): Section | null {
  const section = flockProfileSection(pooled);
  const question = pooledWords[pooled.language].profileQuestion;
  return (
    section && {
      ...section,
      question,
      ...(section.table && { table: { ...section.table, caption: question } }),
    }
  );
}

function sourcesSection({ pooled }: PooledPageInput): Section {
  const section = referencesSection(pooled);
  return { ...section, text: [...(section.text ?? []), ...references.pooled].sort() };
}

function methodsSection({ pooled, study }: PooledPageInput): Section {
  const { language, season } = pooled;
  const words = studyWords[language];
  const scales = new Set(study.flocks.flatMap(({ lameness }) => lameness.map((row) => row.gait_scale)));
  return {
    id: "methods",
    question: words.methodsQuestion,
    heading: words.methodsHeading,
    rests: "",
    paste: pooledWords[language].methodsText({
      flocks: study.flocks.length,
      from: dayInWords(season.from, language),
      to: dayInWords(Math.min(season.to - 1, pooled.today), language),
      present: whole(
        study.flocks.reduce((sum, { coverage }) => sum + (coverage?.present ?? 0), 0),
        language,
      ),
      scales: [...scales].sort(),
      associations: pooled.findings.association.some((row) => row.effect !== null),
      randomFlock: study.between.some((row) => row.typical !== null),
      version: pooled.version,
    }),
  };
}
