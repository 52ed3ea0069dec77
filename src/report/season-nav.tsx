/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import { seasonInWords } from "./dates.ts";
import { readers, type SeasonPageInput } from "./season-page-input.ts";
import { pageWords } from "./words/page.ts";

/** Pages of a season, the reader's ones and those of every reader. */
export const seasonPages = [...readers, "animals", "handout"] as const;
export type SeasonPageId = (typeof seasonPages)[number];

/** Links to the other pages of the season, and to the same page of the seasons before and after. */
export function SeasonNav({ input, here }: { input: SeasonPageInput; here: SeasonPageId }): VNode {
  const { language, season } = input;
  const words = pageWords[language];
  const links = [
    { href: "../index.html", says: words.readers.keeper },
    ...seasonPages
      .filter((page) => page !== here)
      .map((page) => ({ href: `${page}.html`, says: words.readers[page] })),
    ...(season.earlier === null
      ? []
      : [
          { href: `../${season.earlier}/${here}.html`, says: `← ${seasonInWords(season.earlier, language)}` },
        ]),
    ...(season.later === null
      ? []
      : [{ href: `../${season.later}/${here}.html`, says: `${seasonInWords(season.later, language)} →` }]),
  ];
  return (
    <nav aria-label={words.otherPages}>
      <ul>
        {links.map(({ href, says }) => (
          <li key={href}>
            <a href={href}>{says}</a>
          </li>
        ))}
      </ul>
    </nav>
  );
}
