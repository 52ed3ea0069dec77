import { colours } from "../design/tokens.ts";

type Place = number | { readonly expr: string };

interface PlotText {
  readonly text: string | { readonly expr: string };
  readonly x: Place;
  readonly y: Place;
  readonly align?: "left" | "center" | "right";
}

/** Words at a fixed place of a plot: an axis' title, the head of a column of counts. */
export function plotText({ text, x, y, align = "left" }: PlotText): object {
  return {
    data: { values: [{}] },
    mark: {
      type: "text",
      text,
      x,
      y,
      align,
      baseline: "middle",
      lineBreak: "\n",
      lineHeight: 16,
      color: colours.quiet,
      aria: false,
    },
  };
}

/** Longest title that a phone has room for on one line, and the signs after which a longer one is broken. */
const PHONE_LINE = 46;
const BREAKS = "([,;]) ";

/** The title of the x axis, below its labels; a long one takes two lines on a phone. */
export const xAxisTitle: object = plotText({
  text: {
    expr: `narrow && length(axisTitle) > ${PHONE_LINE} ? replace(axisTitle, regexp('${BREAKS}'), '$1\\n') : axisTitle`,
  },
  x: { expr: "width / 2" },
  y: { expr: "height + 36" },
  align: "center",
});

/** The title of the y axis, above the plot and reading across, so that a phone has room for it. */
export const yAxisTitle: object = plotText({ text: { expr: "measure" }, x: { expr: "-leftRoom" }, y: -14 });

/** A text layer with a rim of paper around its letters, so that lines behind it do not cut through. */
export function legible(layer: {
  readonly mark: object;
  readonly [part: string]: unknown;
}): readonly object[] {
  const rim = { ...layer.mark, stroke: colours.paper, strokeWidth: 4, strokeJoin: "round", aria: false };
  return [{ ...layer, mark: rim }, layer];
}
