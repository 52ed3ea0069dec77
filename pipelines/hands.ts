import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import type { Crew } from "../src/findings/crew.ts";
import { drawOnce } from "../src/output/draw-once.ts";
import type { DrawChart } from "../src/report/charts/chart.ts";
import type { HandAnswer, HandTask } from "./hand.ts";
import { handCode } from "./hand-code.ts";

/** Who does the jobs of findings and draws charts. */
export interface Hands {
  readonly crew: Crew;
  readonly draw: DrawChart;
}

interface Waiting {
  readonly task: HandTask;
  readonly done: (output: never) => void;
  readonly failed: (error: unknown) => void;
}

/**
 * As many threads as there are cores, started at once so that they are ready when the first job comes. Each does one
 * task at a time, in the order in which they were asked for. They keep no process alive.
 */
export function threadHands(size = availableParallelism()): Hands {
  const queue: Waiting[] = [];
  const code = handCode();
  const hands = Array.from({ length: size }, () => new Hand(code, () => queue.shift()));
  const ask = <Output>(task: HandTask): Promise<Output> =>
    new Promise<Output>((done, failed) => {
      queue.push({ task, done, failed });
      hands.find((hand) => hand.idle)?.next();
    });
  return {
    crew: { run: (job, input) => ask({ kind: "job", name: job.name, input }) },
    draw: drawOnce((chart, size) => ask({ kind: "chart", chart, size })),
  };
}

class Hand {
  readonly #take: () => Waiting | undefined;
  #worker: Worker | undefined;
  #busyWith: Waiting | undefined;
  #failed: unknown;
  #number = 0;

  constructor(code: Promise<URL>, take: () => Waiting | undefined) {
    this.#take = take;
    code.then(
      (url) => this.#start(new Worker(url, { execArgv: [] })),
      (error) => this.#fail(error),
    );
  }

  #start(worker: Worker): void {
    this.#worker = worker;
    worker.unref();
    worker.on("message", ({ number, output, error }: HandAnswer) => {
      const task = this.#busyWith;
      if (task === undefined || number !== this.#number) return;
      this.#busyWith = undefined;
      if (error === undefined) task.done(output as never);
      else task.failed(error);
      this.next();
    });
    worker.on("error", (error) => this.#fail(error));
    this.next();
  }

  #fail(error: unknown): void {
    this.#failed = error;
    this.#busyWith?.failed(error);
    this.#busyWith = undefined;
    for (let task = this.#take(); task !== undefined; task = this.#take()) task.failed(error);
  }

  get idle(): boolean {
    return this.#busyWith === undefined && (this.#worker !== undefined || this.#failed !== undefined);
  }

  next(): void {
    const waiting = this.#take();
    if (waiting === undefined) {
      this.#worker?.unref();
      return;
    }
    if (this.#worker === undefined || this.#failed !== undefined) {
      waiting.failed(this.#failed);
      return;
    }
    this.#busyWith = waiting;
    this.#worker.ref();
    this.#worker.postMessage({ number: ++this.#number, task: waiting.task });
  }
}
