import type { BookService, Hiring, Reply, Request } from "../worker/book-service.ts";
import workerAddress from "../worker/book-worker.ts?worker&url";
import handAddress from "../worker/hand-worker.ts?worker&url";
import { startWorker } from "./start-worker.ts";

/** A book in a worker of its own, asked from the page. */
export interface BookClient {
  /**
   * Asks the worker; `tell` is told each step of long work, `found` what stands before all of it is done. Rejects with
   * words for the reader.
   */
  call<Name extends keyof BookService>(
    name: Name,
    given: Parameters<BookService[Name]>,
    tell?: (step: string) => void,
    found?: (finding: string) => void,
  ): Promise<ReturnType<BookService[Name]>>;
  close(): void;
}

/** Starts a worker, which starts its engine at once. Sheets are worked out with hands on the machine's other cores. */
export function bookClient(): BookClient {
  const worker = startWorker(workerAddress);
  const hands: Worker[] = [];
  const waiting = new Map<number, Waiting>();
  let asked = 0;
  worker.addEventListener("message", ({ data }: MessageEvent<Reply>) => {
    const one = waiting.get(data.id);
    if (one === undefined) return;
    if ("step" in data) {
      one.tell(data.step);
      return;
    }
    if ("finding" in data) {
      one.found(data.finding);
      return;
    }
    waiting.delete(data.id);
    if ("value" in data) one.resolve(data.value);
    else one.reject(new Error(data.refused));
  });
  const fail = (event: ErrorEvent): void => {
    for (const one of waiting.values())
      one.reject(new Error(`The program could not start in this browser. ${event.message ?? ""}`.trim()));
    waiting.clear();
  };
  worker.addEventListener("error", fail);
  const hire = (): void => {
    if (hands.length > 0) return;
    const ports: MessagePort[] = [];
    for (let i = 0; i < handCount(); i++) {
      const { port1, port2 } = new MessageChannel();
      const hand = startWorker(handAddress);
      hand.addEventListener("error", fail);
      hand.postMessage(port1, [port1]);
      hands.push(hand);
      ports.push(port2);
    }
    worker.postMessage({ hands: ports } satisfies Hiring, ports);
  };
  return {
    call: (name, given, tell = () => undefined, found = () => undefined) =>
      new Promise((resolve, reject) => {
        if (name === "takeSheets") hire();
        const id = asked++;
        waiting.set(id, { resolve: resolve as (value: unknown) => void, reject, tell, found });
        const request: Request = { id, call: name, given };
        worker.postMessage(request);
      }),
    close() {
      for (const one of [worker, ...hands]) one.terminate();
    },
  };
}

interface Waiting {
  resolve(value: unknown): void;
  reject(error: Error): void;
  tell(step: string): void;
  found(finding: string): void;
}

/** Hands above this many cost a small machine more memory than they save time. Project default. */
const MOST_HANDS = 3;

/** One for each core beside the book's own, at least one. */
function handCount(): number {
  return Math.min(MOST_HANDS, Math.max(1, navigator.hardwareConcurrency - 1));
}
