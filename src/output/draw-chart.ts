import { parse, type Runtime, View } from "vega";
import { expressionInterpreter } from "vega-interpreter";
import { compile } from "vega-lite";
import {
  type Chart,
  type ChartSize,
  type ChartTemplate,
  type DrawChart,
  frameOf,
} from "../report/charts/chart.ts";

/**
 * A drawer of charts as SVG, without a browser and without evaluating any text as code. Each template is
 * compiled once and its view kept, since a change of data costs a small part of a new view. Charts are drawn one
 * after the other: a view shows one chart at a time.
 */
export function chartDrawer(): DrawChart {
  const views = new Map<string, View>();
  let last: Promise<unknown> = Promise.resolve();
  return (chart, size) => {
    const drawing = last.then(() => {
      const view = views.get(chart.template.name) ?? viewOf(chart.template);
      views.set(chart.template.name, view);
      return draw(view, chart, size);
    });
    last = drawing.catch(() => undefined);
    return drawing;
  };
}

function viewOf(template: ChartTemplate): View {
  const { spec } = compile(template.spec, { logger: strictLogger(template.name) as never });
  return new View(
    parse(spec, undefined, { ast: true }) as Runtime,
    {
      renderer: "none",
      expr: expressionInterpreter,
    } as never,
  );
}

async function draw(view: View, chart: Chart, size: ChartSize): Promise<string> {
  const frame = frameOf(chart, size);
  view.width(frame.width).height(frame.height).padding(frame.padding);
  view.signal("narrow", size === "narrow");
  for (const [name, value] of Object.entries(chart.params)) view.signal(name, value);
  for (const [name, rows] of Object.entries(chart.data))
    view.data(
      name,
      rows.map((row) => ({ ...row })),
    );
  return plainSvg(await view.toSVG(), chart);
}

/**
 * The picture as it stands in a page: its words for screen readers, a title on each mark that has one, and
 * none of what the page's stylesheet says anyway.
 */
function plainSvg(svg: string, { title, description }: Chart): string {
  const words = `<title>${escapeText(title)}</title><desc>${escapeText(description)}</desc>`;
  return svg
    .replace(
      /^<svg [^>]*?width="(\d+)" height="(\d+)"[^>]*>/,
      `<svg role="graphics-document" viewBox="0 0 $1 $2" width="$1" height="$2">${words}`,
    )
    .replace(
      /<(path|line|rect) aria-label="([^"]*)" role="graphics-symbol"([^>]*)\/>/g,
      '<$1 role="graphics-symbol"$3><title>$2</title></$1>',
    )
    .replace(/ (?:aria-roledescription|font-family|pointer-events|class)="[^"]*"/g, "")
    .replace(/ role="graphics-object"/g, "")
    .replace(/<g role="graphics-symbol"/g, "<g")
    .replace(/<path aria-hidden="true" d="[^"]*"(?: display="none")?\/>/g, "")
    .replace(/<text [^>]*opacity="0"[^>]*>[^<]*<\/text>/g, "")
    .replace(/<g><\/g>/g, "")
    .replace(/(?:<line transform="[^"]*"[^>]*\/>){2,}/g, (lines) => inPlace(lines, /<line [^>]*\/>/g))
    .replace(/(?:<text [^>]*>[^<]*<\/text>){2,}/g, (texts) => inPlace(texts, /<text [^>]*>[^<]*<\/text>/g))
    .replace(/-?\d+\.\d{3,}(?=[,)" A-Z])/g, (digits) => String(Math.round(Number(digits) * 100) / 100));
}

/**
 * Elements of one group from left to right and top to bottom: a kept view holds on to the ticks of its last
 * chart, so that their order would tell what was drawn before.
 */
function inPlace(elements: string, each: RegExp): string {
  const placeOf = (element: string): readonly number[] =>
    (/translate\(([^,]+),([^)]+)\)/.exec(element) ?? ["", "0", "0"]).slice(1).map(Number);
  return (elements.match(each) ?? [])
    .map((element) => ({ element, place: placeOf(element) }))
    .sort((a, b) => a.place[0]! - b.place[0]! || a.place[1]! - b.place[1]!)
    .map(({ element }) => element)
    .join("");
}

/** A chart that compiles with a warning is a fault of its template. */
function strictLogger(name: string) {
  const refuse = (...texts: readonly unknown[]): never => {
    throw new Error(`chart ${name}: ${texts.join(" ")}`);
  };
  const logger = {
    level: () => logger,
    error: refuse,
    warn: refuse,
    info: () => logger,
    debug: () => logger,
  };
  return logger;
}

function escapeText(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
}
