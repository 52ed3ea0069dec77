import { type Crew, onThisThread } from "../../src/findings/crew.ts";
import { chartDrawer } from "../../src/output/draw-chart.ts";
import { drawOnce } from "../../src/output/draw-once.ts";
import type { DrawChart } from "../../src/report/charts/chart.ts";
import type { HandAnswer, HandTask } from "./hand-service.ts";

/** Who does the jobs of findings and draws charts. */
export interface Hands {
  readonly crew: Crew;
  readonly draw: DrawChart;
}

/** All is done on the book's own thread. */
export function ownHands(): Hands {
  return { crew: onThisThread, draw: drawOnce(chartDrawer()) };
}

/** Workers behind ports: each does one task at a time, in the order in which they were asked for. */
export function hiredHands(ports: readonly MessagePort[]): Hands {
  const queue: Waiting[] = [];
  const idle = new Set(ports);
  const busy = new Map<MessagePort, Waiting>();
  const next = (port: MessagePort): void => {
    const waiting = queue.shift();
    if (waiting === undefined) {
      idle.add(port);
      return;
    }
    idle.delete(port);
    busy.set(port, waiting);
    try {
      port.postMessage(waiting.task);
    } catch (error) {
      // an input that cannot be copied to another thread
      waiting.failed(error);
      next(port);
    }
  };
  for (const port of ports)
    port.onmessage = ({ data }: MessageEvent<HandAnswer>) => {
      const waiting = busy.get(port)!;
      if ("error" in data) waiting.failed(data.error);
      else waiting.done(data.output as never);
      next(port);
    };
  const ask = <Output>(task: HandTask): Promise<Output> =>
    new Promise<Output>((done, failed) => {
      queue.push({ task, done, failed });
      const [free] = idle;
      if (free !== undefined) next(free);
    });
  return {
    crew: { run: (job, input) => ask({ kind: "job", name: job.name, input }) },
    draw: drawOnce((chart, size) => ask({ kind: "chart", chart, size })),
  };
}

interface Waiting {
  readonly task: HandTask;
  readonly done: (output: never) => void;
  readonly failed: (error: unknown) => void;
}
