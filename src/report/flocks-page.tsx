/** @jsxRuntime automatic @jsxImportSource preact */
import type { InEveryLanguage, Language } from "../records/language.ts";
import { seasonInWords } from "./dates.ts";
import { pageHtml } from "./page-shell.tsx";
import { capital } from "./words/count.ts";
import { pageWords } from "./words/page.ts";

const words: Readonly<Record<"title" | "intro" | "study" | "studyIntro", InEveryLanguage>> = {
  study: { en: "The flocks as one study", es: "Los rebaños como un solo estudio" },
  studyIntro: {
    en: "For the extension agent: each flock beside the others, and what goes with growth and lameness over all of them.",
    es: "Para el agente de extensión: cada rebaño junto a los otros, y qué va con el crecimiento y la cojera en todos.",
  },
  title: { en: "The flocks of this book", es: "Los rebaños de este libro" },
  intro: {
    en: "Each flock has pages of its own: its own units, gait scale and seasons. Scores of different scales are never put together.",
    es: "Cada rebaño tiene sus propias páginas: sus unidades, su escala de marcha y sus temporadas. Nunca se juntan puntajes de escalas distintas.",
  },
};

/**
 * The first page where a book holds several flocks: where each one's own first page is, and the pages of all as one
 * study (`pooled/SEASON/extension.html`).
 */
export function flocksPage(
  flocks: readonly { readonly name: string; readonly folder: string }[],
  pooled: readonly string[],
  language: Language,
  version: string,
): string {
  const title = words.title[language];
  return pageHtml(
    title,
    language,
    { left: title, right: "" },
    <>
      <header class="page">
        <h1>{title}</h1>
      </header>
      <main>
        <section class="answer" id="answer">
          <p>{words.intro[language]}</p>
          <ul class="lead">
            {flocks.map(({ name, folder }) => (
              <li key={folder}>
                <a href={`${encodeURIComponent(folder)}/index.html`}>{name}</a>
              </li>
            ))}
          </ul>
        </section>
        {pooled.length > 0 ? (
          <section id="study">
            <h2>{words.study[language]}</h2>
            <p>{words.studyIntro[language]}</p>
            <ul class="lead">
              {pooled.map((path) => (
                <li key={path}>
                  <a href={path.split("/").map(encodeURIComponent).join("/")}>
                    {capital(seasonInWords(path.split("/")[1] ?? path, language))}
                  </a>
                </li>
              ))}
            </ul>
          </section>
        ) : null}
      </main>
      <footer class="page">
        <p>
          {pageWords[language].madeBy} {version}.
        </p>
      </footer>
    </>,
  );
}
