/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import type { Language } from "../records/language.ts";
import { type Chart, chartSpec, type DrawChart } from "./charts/chart.ts";
import { Table } from "./data-table.tsx";
import { drawPicture } from "./draw-picture.tsx";
import type { EndTable } from "./end-tables.tsx";
import type { PageFile } from "./page-shell.tsx";
import { chartsOf, type Section } from "./section.ts";
import { pageWords } from "./words/page.ts";

export interface RenderedSection {
  readonly body: VNode;
  /** Specifications of its charts, beside the page. */
  readonly specs: readonly PageFile[];
}

/**
 * A section with its pictures drawn, at the width of a page and of a phone. `name` leads its files' names.
 * `moved`: its tables that stand at the end of the page, to which it refers by their numbers; null where tables
 * are folded below their picture.
 */
export async function renderSection(
  section: Section,
  language: Language,
  draw: DrawChart,
  name: string,
  moved: readonly EndTable[] | null = null,
): Promise<RenderedSection> {
  const words = pageWords[language];
  const charts = chartsOf(section);
  const specs = charts.map((chart, i) => ({
    path: `charts/${name}-${section.id}${charts.length > 1 ? `-${i + 1}` : ""}.vl.json`,
    content: `${JSON.stringify(chartSpec(chart))}\n`,
  }));
  const picture = section.chart
    ? await drawPicture(section.chart, draw)
    : section.small && section.small.length > 0
      ? await smallPictures(section.small, draw)
      : null;
  const body = (
    <section id={section.id} aria-labelledby={`${section.id}-question ${section.id}-heading`}>
      <div class="keep">
        <p class="question" id={`${section.id}-question`}>
          {section.question}
        </p>
        <h2 id={`${section.id}-heading`}>{section.heading}</h2>
        {section.text?.map((paragraph) => (
          <p key={paragraph}>{paragraph}</p>
        ))}
        {section.paste ? (
          <div class="paste">
            {section.paste.map((paragraph) => (
              <p key={paragraph}>{paragraph}</p>
            ))}
          </div>
        ) : null}
        {picture === null ? null : (
          <figure>
            {picture}
            <figcaption>
              {section.rests}
              <TableLinks tables={moved ?? []} language={language} after={section.rests} />
              {specs[0] ? (
                <span class="screen">
                  {section.rests === "" && (moved ?? []).length === 0 ? "" : " · "}
                  <a href={specs[0].path}>{words.specification}</a>
                </span>
              ) : null}
            </figcaption>
          </figure>
        )}
        {picture === null && (section.rests !== "" || (moved ?? []).length > 0) ? (
          <p class="rests">
            {section.rests}
            <TableLinks tables={moved ?? []} language={language} after={section.rests} />
          </p>
        ) : null}
      </div>
      {section.cautions && section.cautions.length > 0 ? (
        <div class="note">
          {section.cautions.map((caution) => (
            <p key={caution}>{caution}</p>
          ))}
        </div>
      ) : null}
      {section.table && picture !== null && moved === null ? (
        <details>
          <summary>{words.showTable}</summary>
          <Table table={section.table} titled />
        </details>
      ) : null}
      {section.table && picture === null ? (
        <Table table={section.table} titled={section.table.caption === section.question} />
      ) : null}
      {section.rest && moved === null ? (
        <details>
          <summary>{section.rest.summary}</summary>
          <Table table={section.rest.table} titled />
        </details>
      ) : null}
    </section>
  );
  return { body, specs };
}

/** Where a section's tables are, by their numbers; `after`: what stands before them on the line. */
function TableLinks({
  tables,
  language,
  after,
}: {
  readonly tables: readonly EndTable[];
  readonly language: Language;
  readonly after: string;
}): VNode {
  return (
    <>
      {tables.map(({ id, number }, i) => (
        <>
          {i > 0 || after !== "" ? " · " : ""}
          <a href={`#${id}`}>{pageWords[language].tableNumber(number)}</a>
        </>
      ))}
    </>
  );
}

async function smallPictures(charts: readonly Chart[], draw: DrawChart): Promise<VNode> {
  const drawn = await Promise.all(charts.map((chart) => draw(chart, "narrow")));
  return (
    <div class="small">
      {drawn.map((svg, i) => (
        <div key={i} dangerouslySetInnerHTML={{ __html: svg }} />
      ))}
    </div>
  );
}
