/** @jsxRuntime automatic @jsxImportSource preact */
import { CautionList } from "./caution-list.tsx";
import type { DrawChart } from "./charts/chart.ts";
import { seasonInWords } from "./dates.ts";
import { drawPicture } from "./draw-picture.tsx";
import { length } from "./length-units.ts";
import { PageFoot } from "./page-foot.tsx";
import { type PageFile, pageHtml } from "./page-shell.tsx";
import { SeasonNav } from "./season-nav.tsx";
import type { SeasonPageInput } from "./season-page-input.ts";
import { growthBySection, growthSection } from "./sections/growth.ts";
import { lamenessSection } from "./sections/lameness.ts";
import { lesionSection } from "./sections/lesions.ts";
import { retrimSection } from "./sections/retrim.ts";
import { sentence } from "./words/count.ts";
import { handoutWords } from "./words/handout.ts";
import { pageWords } from "./words/page.ts";

/** One printed page in plain language, to hand to other keepers: what was found, what to do, what it cannot tell. */
export async function handoutPage(input: SeasonPageInput, draw: DrawChart): Promise<PageFile> {
  const { language, season, flock } = input;
  const words = handoutWords[language];
  const title = words.title(seasonInWords(season.id, language));
  const lasts = retrimSection(input);
  const said = [
    growthSection(input),
    growthBySection(input, "ground"),
    lasts,
    lamenessSection(input),
    lesionSection(input),
  ]
    .filter((section) => section !== null)
    .map((section) => section.answer?.sentence ?? null)
    .filter((answer) => answer !== null);
  const picture = lasts.chart ? await drawPicture(lasts.chart, draw) : null;
  const html = pageHtml(
    title,
    language,
    {
      left: `${flock.name}, ${seasonInWords(season.id, language)}`,
      right: pageWords[language].readers.handout,
    },
    <>
      <header class="page">
        <CautionList input={input} place="handout" />
        <p class="question">{words.question}</p>
        <h1>{title}</h1>
        <SeasonNav input={input} here="handout" />
      </header>
      <main class="handout">
        <section id="answer" aria-labelledby="answer-heading">
          <h2 id="answer-heading">{words.found}</h2>
          <ul>
            {said.length === 0 ? <li>{sentence(pageWords[language].nothingYet)}</li> : null}
            {said.map((answer) => (
              <li key={answer}>{answer}</li>
            ))}
          </ul>
          {picture === null ? null : (
            <figure>
              {picture}
              <figcaption>{sentence(lasts.heading)}</figcaption>
            </figure>
          )}
        </section>
        <section id="advice" aria-labelledby="advice-heading">
          <h2 id="advice-heading">{words.whatToDo}</h2>
          <ul>
            {words.advice(flock.checkWeeks, length(flock.trimToMm, flock.unit, language)).map((advice) => (
              <li key={advice}>{advice}</li>
            ))}
          </ul>
        </section>
        <section id="limits" aria-labelledby="limits-heading">
          <h2 id="limits-heading">{words.limits}</h2>
          <p>{words.limitsText(flock.name)}</p>
        </section>
      </main>
      <PageFoot input={input} />
    </>,
  );
  return { path: `${season.id}/handout.html`, content: html };
}
