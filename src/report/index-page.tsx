/** @jsxRuntime automatic @jsxImportSource preact */
import type { SeasonSpan } from "../records/seasons.ts";
import { CautionList } from "./caution-list.tsx";
import { seasonInWords } from "./dates.ts";
import { whole } from "./numbers.ts";
import { Facts } from "./page-facts.tsx";
import { pageHtml } from "./page-shell.tsx";
import { readers, type SeasonPageInput } from "./season-page-input.ts";
import { growthSection } from "./sections/growth.ts";
import { lamenessSection } from "./sections/lameness.ts";
import { nextCheckSection } from "./sections/next-checks.ts";
import { retrimSection } from "./sections/retrim.ts";
import { keeperWords } from "./words/keeper.ts";
import { pageWords } from "./words/page.ts";

/**
 * The keeper's page: whom to look at, how many lame, how long a trim lasts, what could not be told, what was
 * set aside; then the seasons and readers.
 */
export function indexPage(input: SeasonPageInput, seasons: readonly SeasonSpan[]): string {
  const { language, flock, season } = input;
  const words = pageWords[language];
  const keeper = keeperWords[language];
  const next = nextCheckSection(input);
  const lame = lamenessSection(input);
  const lasts = retrimSection(input);
  const silent = [lame, lasts, growthSection(input)].filter((section) => section.answer === undefined);
  const latest = `${season.id}`;
  return pageHtml(
    flock.name,
    language,
    <>
      <header class="page">
        <CautionList input={input} place="index" />
        <p class="question">{keeper.indexQuestion}</p>
        <h1>
          {flock.name}, {seasonInWords(season.id, language)}
        </h1>
        <Facts input={input} prefix="" />
      </header>
      <main>
        <section class="answer" id="answer" aria-labelledby="answer-heading">
          <h2 id="answer-heading">{words.shortAnswer}</h2>
          <ol class="lead">
            <li>
              <a href="worklist.html">{next.answer?.sentence ?? next.heading}</a>
            </li>
            <li>
              <a href={`${latest}/vet.html#lameness`}>{lame.answer?.sentence ?? lame.heading}</a>
            </li>
            <li>
              <a href={`${latest}/extension.html#retrim`}>{lasts.answer?.sentence ?? lasts.heading}</a>
            </li>
            <li>
              {silent.length === 0
                ? keeper.cannotTellNone
                : silent
                    .map(
                      (section) => `${section.heading}${section.rests === "" ? "" : ` (${section.rests})`}.`,
                    )
                    .join(" ")}
            </li>
            <li>
              {keeper.setAsideSentence(whole(input.records.setAside, language))}{" "}
              <a href="intake.html">{keeper.setAsideLink}</a>.
            </li>
          </ol>
        </section>
        <section id="seasons" aria-labelledby="seasons-heading">
          <h2 id="seasons-heading">{keeper.seasons}</h2>
          <ul>
            {[...seasons].reverse().map((span) => (
              <li key={span.id}>
                {seasonInWords(span.id, language)}:{" "}
                {readers.map((reader, i) => (
                  <span key={reader}>
                    {i > 0 ? ", " : ""}
                    <a href={`${span.id}/${reader}.html`}>{words.readers[reader]}</a>
                  </span>
                ))}
              </li>
            ))}
          </ul>
        </section>
      </main>
      <footer class="page">
        <p>{words.monthFoot}</p>
        <p>
          {words.pageOf} {input.version}
        </p>
      </footer>
    </>,
  );
}
