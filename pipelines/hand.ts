import { parentPort } from "node:worker_threads";
import { jobs } from "../src/findings/jobs.ts";
import type { Chart, ChartSize, DrawChart } from "../src/report/charts/chart.ts";

/** What a thread is asked to do. */
export type HandTask =
  | { readonly kind: "job"; readonly name: string; readonly input: unknown }
  | { readonly kind: "chart"; readonly chart: Chart; readonly size: ChartSize };

export interface HandAnswer {
  readonly number: number;
  readonly output?: unknown;
  readonly error?: unknown;
}

const named = new Map(jobs.map((job) => [job.name, job.work as (input: unknown) => unknown]));
let drawer: Promise<DrawChart> | undefined;

/** The drawer, and with it the drawing library, is loaded by the first chart. */
async function draw(chart: Chart, size: ChartSize): Promise<string> {
  drawer ??= import("../src/output/draw-chart.ts").then(({ chartDrawer }) => chartDrawer());
  return (await drawer)(chart, size);
}

parentPort?.on("message", async ({ number, task }: { number: number; task: HandTask }) => {
  try {
    const output =
      task.kind === "job" ? named.get(task.name)!(task.input) : await draw(task.chart, task.size);
    parentPort?.postMessage({ number, output } satisfies HandAnswer);
  } catch (error) {
    parentPort?.postMessage({ number, error } satisfies HandAnswer);
  }
});
