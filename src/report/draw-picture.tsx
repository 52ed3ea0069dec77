/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import type { Chart, DrawChart } from "./charts/chart.ts";

/** A chart drawn for a page and for a phone; the stylesheet shows the one that fits. */
export async function drawPicture(chart: Chart, draw: DrawChart): Promise<VNode> {
  const [wide, narrow] = await Promise.all([draw(chart, "wide"), draw(chart, "narrow")]);
  return (
    <>
      <div class="wide-chart" dangerouslySetInnerHTML={{ __html: wide }} />
      <div class="narrow" dangerouslySetInnerHTML={{ __html: narrow }} />
    </>
  );
}
