/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import { renderToString } from "preact-render-to-string";
import type { Language } from "../records/language.ts";
import { type PrintHead, printHeads, stylesheet } from "./design/stylesheet.ts";
import { pagePolicy } from "./page-policy.ts";
import { visibleText } from "./visible-text.ts";
import { pageWords } from "./words/page.ts";

/** A file of the output folder. */
export interface PageFile {
  readonly path: string;
  readonly content: string;
}

/** What stands in the margins of a printed page: flock and season, and for whom. */
export type PageHead = Pick<PrintHead, "left" | "right">;

/**
 * One self-contained page: no script, no network, markup in any name shown as text. The policy forbids
 * everything but the page's own styles, which it names by their hashes.
 */
export function pageHtml(title: string, language: Language, head: PageHead, body: VNode): string {
  const words = pageWords[language];
  const styles = [
    stylesheet,
    printHeads({
      left: visibleText(head.left),
      right: visibleText(head.right),
      page: words.page,
      of: words.of,
    }),
  ];
  const markup = renderToString(
    <html lang={language}>
      <head>
        <meta charSet="utf-8" />
        <meta http-equiv="Content-Security-Policy" content={pagePolicy(styles)} />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="referrer" content="no-referrer" />
        <title>{title}</title>
        {styles.map((style) => (
          <style key={style} dangerouslySetInnerHTML={{ __html: style }} />
        ))}
      </head>
      <body>
        <a class="skip" href="#answer">
          {words.skip}
        </a>
        {body}
      </body>
    </html>,
  );
  return `<!doctype html>\n${visibleText(markup)}\n`;
}
