import type { Chart, ChartSize } from "../../src/report/charts/chart.ts";

/** What a hand is asked to do, beside the book's own worker. */
export type HandTask =
  | { readonly kind: "job"; readonly name: string; readonly input: unknown }
  | { readonly kind: "chart"; readonly chart: Chart; readonly size: ChartSize };

/** What became of the task that the hand was given last. */
export type HandAnswer = { readonly output: unknown } | { readonly error: unknown };
