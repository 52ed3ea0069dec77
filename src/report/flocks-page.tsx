/** @jsxRuntime automatic @jsxImportSource preact */
import type { InEveryLanguage, Language } from "../records/language.ts";
import { pageHtml } from "./page-shell.tsx";
import { pageWords } from "./words/page.ts";

const words: Readonly<Record<"title" | "intro", InEveryLanguage>> = {
  title: { en: "The flocks of this book", es: "Los rebaños de este libro" },
  intro: {
    en: "Each flock has pages of its own: its own units, gait scale and seasons. Scores of different scales are never put together.",
    es: "Cada rebaño tiene sus propias páginas: sus unidades, su escala de marcha y sus temporadas. Nunca se juntan puntajes de escalas distintas.",
  },
};

/** The first page where a book holds several flocks: where each one's own first page is. */
export function flocksPage(
  flocks: readonly { readonly name: string; readonly folder: string }[],
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
      </main>
      <footer class="page">
        <p>
          {pageWords[language].madeBy} {version}.
        </p>
      </footer>
    </>,
  );
}
