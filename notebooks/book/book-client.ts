import type { BookService, Reply, Request } from "../worker/book-service.ts";
import workerAddress from "../worker/book-worker.ts?worker&url";

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

/** Starts a worker, which starts its engine at once. */
export function bookClient(): BookClient {
  const worker = startWorker();
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
  worker.addEventListener("error", (event) => {
    for (const one of waiting.values())
      one.reject(new Error(`The program could not start in this browser. ${event.message ?? ""}`.trim()));
    waiting.clear();
  });
  return {
    call: (name, given, tell = () => undefined, found = () => undefined) =>
      new Promise((resolve, reject) => {
        const id = asked++;
        waiting.set(id, { resolve: resolve as (value: unknown) => void, reject, tell, found });
        const request: Request = { id, call: name, given };
        worker.postMessage(request);
      }),
    close: () => worker.terminate(),
  };
}

interface Waiting {
  resolve(value: unknown): void;
  reject(error: Error): void;
  tell(step: string): void;
  found(finding: string): void;
}

/**
 * A worker from an address has no policy but what its server sends; one from a blob of the page has the page's
 * (Content Security Policy Level 3, section 4.2). So a blob starts it, and no server has to forbid it the network.
 */
function startWorker(): Worker {
  const address = new URL(workerAddress, document.baseURI).href;
  const starter = URL.createObjectURL(
    new Blob([`import ${JSON.stringify(address)};`], { type: "text/javascript" }),
  );
  const worker = new Worker(starter, { type: "module" });
  return worker;
}
