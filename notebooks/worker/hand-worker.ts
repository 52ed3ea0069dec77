import "./without-evaluation.ts";
import { jobs } from "../../src/findings/jobs.ts";
import { chartDrawer } from "../../src/output/draw-chart.ts";
import type { HandAnswer, HandTask } from "./hand-service.ts";

const named = new Map(jobs.map((job) => [job.name, job.work as (input: unknown) => unknown]));
const draw = chartDrawer();

// the page hands over a port; what is asked for comes through it
addEventListener("message", ({ data: port }: MessageEvent<MessagePort>) => {
  port.onmessage = async ({ data: task }: MessageEvent<HandTask>) => {
    const answer = (one: HandAnswer): void => port.postMessage(one);
    try {
      answer({
        output: task.kind === "job" ? named.get(task.name)!(task.input) : await draw(task.chart, task.size),
      });
    } catch (error) {
      answer({ error });
    }
  };
});
