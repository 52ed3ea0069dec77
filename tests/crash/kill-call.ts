import { fork } from "node:child_process";
import { fileURLToPath } from "node:url";

export interface Ending {
  /** Exit code; null when it was killed. */
  readonly code: number | null;
  /** Milliseconds from the start of the work to its end. */
  readonly took: number;
  readonly told: string;
}

/** Runs a call in its own process and kills it (SIGKILL) so many milliseconds into the work; null lets it end. */
export function killCall(argv: readonly string[], after: number | null): Promise<Ending> {
  const child = fork(fileURLToPath(new URL("./separate-call.ts", import.meta.url)), [...argv], {
    execArgv: ["--import", "tsx"],
    stdio: ["ignore", "ignore", "pipe", "ipc"],
  });
  let told = "";
  child.stderr!.on("data", (piece: Buffer) => {
    told += piece.toString();
  });
  return new Promise((resolve, reject) => {
    let started = 0;
    let timer: ReturnType<typeof setTimeout> | undefined;
    child.once("message", () => {
      started = performance.now();
      child.send("start");
      if (after !== null) timer = setTimeout(() => child.kill("SIGKILL"), after);
    });
    child.once("error", reject);
    child.once("close", (code, signal) => {
      clearTimeout(timer);
      if (started === 0) reject(new Error(`the call ended before it began: ${told}`));
      else resolve({ code: signal === null ? code : null, took: performance.now() - started, told });
    });
  });
}
