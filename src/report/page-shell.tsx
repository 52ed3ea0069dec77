/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import { renderToString } from "preact-render-to-string";
import type { Language } from "../records/language.ts";
import type { DrawChart } from "./charts/chart.ts";
import { stylesheet } from "./design/stylesheet.ts";
import type { DataTable, Section } from "./section.ts";
import { pageWords } from "./words/page.ts";

/** A file of the output folder. */
export interface PageFile {
  readonly path: string;
  readonly content: string;
}

/**
 * One self-contained page: no script, no network, markup in any name shown as text. The policy forbids
 * everything but the page's own stylesheet and inline pictures.
 */
export function pageHtml(title: string, language: Language, body: VNode): string {
  const words = pageWords[language];
  const head = (
    <head>
      <meta charSet="utf-8" />
      <meta
        http-equiv="Content-Security-Policy"
        content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'"
      />
      <meta name="viewport" content="width=device-width, initial-scale=1" />
      <meta name="referrer" content="no-referrer" />
      <title>{title}</title>
      <style dangerouslySetInnerHTML={{ __html: stylesheet }} />
    </head>
  );
  return `<!doctype html>\n${renderToString(
    <html lang={language}>
      {head}
      <body>
        <a class="skip" href="#answer">
          {words.skip}
        </a>
        {body}
      </body>
    </html>,
  )}\n`;
}

/** A section with its picture drawn. */
export async function renderSection(
  section: Section,
  language: Language,
  draw: DrawChart,
  specHref: string | null,
): Promise<VNode> {
  const words = pageWords[language];
  const svg = section.chart ? await draw(section.chart) : null;
  return (
    <section id={section.id} aria-labelledby={`${section.id}-heading`}>
      <p class="question">{section.question}</p>
      <h2 id={`${section.id}-heading`}>{section.heading}</h2>
      {section.text?.map((paragraph) => (
        <p key={String(paragraph)}>{paragraph}</p>
      ))}
      {svg === null ? null : (
        <figure>
          <div dangerouslySetInnerHTML={{ __html: svg }} />
          <figcaption>
            {section.rests}
            {specHref === null ? null : (
              <span class="screen">
                {" "}
                (<a href={specHref}>{words.specification}</a>)
              </span>
            )}
          </figcaption>
        </figure>
      )}
      {svg === null && section.rests !== "" ? <p class="rests">{section.rests}</p> : null}
      {section.cautions?.map((caution) => (
        <div class="note" key={caution}>
          <p>{caution}</p>
        </div>
      ))}
      {section.table ? (
        section.chart ? (
          <details>
            <summary>{words.showTable}</summary>
            <Table table={section.table} />
          </details>
        ) : (
          <Table table={section.table} />
        )
      ) : null}
    </section>
  );
}

export function Table({ table }: { table: DataTable }): VNode {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a wide table scrolls, and a keyboard must reach it
    <section class="table" tabIndex={0} aria-label={table.caption}>
      <table>
        <caption>{table.caption}</caption>
        <thead>
          <tr>
            {table.columns.map((column) => (
              <th key={column.name} scope="col" class={column.numeric ? "n" : undefined}>
                {column.name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {table.rows.map((row, i) => (
            <tr key={i}>
              {row.map((cell, c) =>
                c === 0 ? (
                  <th key={table.columns[c]!.name} scope="row">
                    {cell}
                  </th>
                ) : (
                  <td key={table.columns[c]!.name} class={table.columns[c]!.numeric ? "n" : undefined}>
                    {cell}
                  </td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
