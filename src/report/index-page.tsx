/** @jsxRuntime automatic @jsxImportSource preact */
import type { SeasonSpan } from "../records/seasons.ts";
import { CautionList } from "./caution-list.tsx";
import { seasonInWords } from "./dates.ts";
import { Facts } from "./page-facts.tsx";
import { PageFoot } from "./page-foot.tsx";
import { pageHtml } from "./page-shell.tsx";
import { seasonPages } from "./season-nav.tsx";
import type { SeasonPageInput } from "./season-page-input.ts";
import { growthSection } from "./sections/growth.ts";
import { lamenessSection } from "./sections/lameness.ts";
import { nextCheckSection } from "./sections/next-checks.ts";
import { retrimSection } from "./sections/retrim.ts";
import { sentence } from "./words/count.ts";
import { feetWords } from "./words/feet.ts";
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
  const title = `${flock.name}, ${seasonInWords(season.id, language)}`;
  const answers = [
    {
      href: "worklist.html",
      says: next?.answer?.sentence ?? sentence(feetWords[language].checkHeading(0, 0)),
    },
    { href: `${season.id}/vet.html#lameness`, says: lame.answer?.sentence ?? sentence(lame.heading) },
    { href: `${season.id}/extension.html#retrim`, says: lasts.answer?.sentence ?? sentence(lasts.heading) },
    {
      href: `${season.id}/breeder.html#answer`,
      says:
        silent.length === 0
          ? keeper.cannotTellNone
          : silent
              .map((section) =>
                sentence(`${section.heading}${section.rests === "" ? "" : ` (${section.rests})`}`),
              )
              .join(" "),
    },
    {
      href: "intake.html",
      says: `${keeper.setAsideSentence(input.records.setAside)}${input.records.setAside > 0 ? ` ${keeper.setAsideLink}.` : ""}`,
    },
  ];
  return pageHtml(
    flock.name,
    language,
    { left: title, right: words.readers.keeper },
    <>
      <header class="page">
        <CautionList input={input} place="index" />
        <p class="question">{keeper.indexQuestion}</p>
        <h1>{title}</h1>
        <Facts input={input} prefix="" />
      </header>
      <main>
        <section class="answer" id="answer" aria-labelledby="answer-heading">
          <h2 id="answer-heading">{words.shortAnswer}</h2>
          <ol>
            {answers.map(({ href, says }) => (
              <li key={href}>
                <a href={href}>{says}</a>
              </li>
            ))}
          </ol>
        </section>
        <section id="seasons" aria-labelledby="seasons-heading">
          <h2 id="seasons-heading">{keeper.seasons}</h2>
          <p>
            <a href="worklist.html">{keeper.worklist}</a>:{" "}
            {keeper.worklistQuestion.toLocaleLowerCase(language)}
          </p>
          <div class="table">
            <table>
              <tbody>
                {[...seasons].reverse().map((span) => (
                  <tr key={span.id}>
                    <th scope="row">{seasonInWords(span.id, language)}</th>
                    {seasonPages.map((page) => (
                      <td key={page}>
                        <a href={`${span.id}/${page}.html`}>{words.readers[page]}</a>
                      </td>
                    ))}
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </section>
      </main>
      <PageFoot input={input} />
    </>,
  );
}
