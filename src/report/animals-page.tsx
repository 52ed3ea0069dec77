/** @jsxRuntime automatic @jsxImportSource preact */
import { animalAnchor } from "./animal-anchor.ts";
import { CautionList } from "./caution-list.tsx";
import { seasonInWords } from "./dates.ts";
import { AnimalPanel } from "./histories/animal-panel.tsx";
import { historyWindow } from "./histories/history-window.ts";
import { length } from "./length-units.ts";
import { Facts } from "./page-facts.tsx";
import { PageFoot } from "./page-foot.tsx";
import { type PageFile, pageHtml } from "./page-shell.tsx";
import { SeasonNav } from "./season-nav.tsx";
import type { SeasonPageInput } from "./season-page-input.ts";
import { animalsWords } from "./words/animals.ts";
import { pageWords } from "./words/page.ts";

/** The animals of a season, one panel each, in as many pages as keep each of them light. */
export function animalsPages(input: SeasonPageInput): readonly PageFile[] {
  const { language, season, histories, flock } = input;
  const words = animalsWords[language];
  const window = historyWindow(input);
  const pages = new Map<string, typeof histories.animals>([["animals.html", []]]);
  for (const history of histories.animals) {
    const file = input.animalPages.get(history.animal);
    if (file !== undefined) pages.set(file, [...(pages.get(file) ?? []), history]);
  }
  const title = `${flock.name}, ${seasonInWords(season.id, language)}`;
  const files = [...pages.keys()];
  return files.map((file, i) => {
    const shown = pages.get(file)!;
    const heading = `${title}: ${pageWords[language].readers.animals}${files.length > 1 ? `, ${words.part(i + 1)}` : ""}`;
    return {
      path: `${season.id}/${file}`,
      content: pageHtml(
        heading,
        language,
        { left: title, right: pageWords[language].readers.animals },
        <>
          <header class="page">
            <CautionList input={input} place="animals" />
            <p class="question">{words.question}</p>
            <h1>{title}</h1>
            <Facts input={input} prefix="../" />
            <SeasonNav input={input} here="animals" />
          </header>
          <main id="answer">
            <div class="key">
              <p>
                <strong>
                  {input.animalPages.size === 0 ? words.none : words.heading(input.animalPages.size)}.
                </strong>{" "}
                {words
                  .key(
                    histories.measure,
                    length(flock.trimToMm, flock.unit, language),
                    length(flock.retrimAtMm, flock.unit, language),
                  )
                  .join(" ")}
              </p>
            </div>
            <nav aria-label={words.toTags}>
              <ul>
                {files
                  .filter((other) => other !== file)
                  .map((other) => (
                    <li key={other}>
                      <a href={other}>{words.part(files.indexOf(other) + 1)}</a>
                    </li>
                  ))}
                {shown.map(({ animal }) => (
                  <li key={animal}>
                    <a href={`#${animalAnchor(animal)}`}>{animal}</a>
                  </li>
                ))}
              </ul>
            </nav>
            {shown.map((history) => (
              <AnimalPanel
                key={history.animal}
                input={input}
                history={history}
                window={window}
                measure={histories.measure}
              />
            ))}
          </main>
          <PageFoot input={input} />
        </>,
      ),
    };
  });
}
