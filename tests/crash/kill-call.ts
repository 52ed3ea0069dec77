import { type ChildProcess, fork, spawnSync } from "node:child_process";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { setTimeout as rest } from "node:timers/promises";
import { fileURLToPath } from "node:url";

export interface Ending {
  /** Exit code; null when it was killed. */
  readonly code: number | null;
  /** Milliseconds from the start of the work to its end, the time it stood still apart. */
  readonly took: number;
  readonly told: string;
}

/**
 * Runs a call in its own process, stops it (SIGSTOP) at each of the moments, given in milliseconds of its own
 * work and ascending, and kills it (SIGKILL) at the last; without a moment it may end. `look` is called while
 * it stands still. A process that stands still leaves the files as a killed one does: neither does another
 * step, and what either wrote is with the system.
 */
export async function killCall(
  argv: readonly string[],
  moments: readonly number[],
  look: (moment: number) => void = () => undefined,
): Promise<Ending> {
  const child = fork(fileURLToPath(new URL("./separate-call.ts", import.meta.url)), [...argv], {
    execArgv: ["--import", "tsx"],
    stdio: ["ignore", "ignore", "pipe", "ipc"],
  });
  let told = "";
  child.stderr!.on("data", (piece: Buffer) => {
    told += piece.toString();
  });
  const ended = new Promise<{ readonly code: number | null; readonly at: number }>((resolve, reject) => {
    child.once("error", reject);
    child.once("close", (code, signal) =>
      resolve({ code: signal === null ? code : null, at: performance.now() }),
    );
  });
  const ready = new Promise<void>((resolve) => child.once("message", () => resolve()));
  if ((await Promise.race([ready, ended])) !== undefined)
    throw new Error(`the call ended before it began: ${told}`);

  child.send("start");
  const started = performance.now();
  const still = await stopAndKill(child, ended, moments, look);
  const { code, at } = await ended;
  return { code, took: at - started - still, told };
}

/** Gives the milliseconds that the process stood still. */
async function stopAndKill(
  child: ChildProcess,
  ended: Promise<unknown>,
  moments: readonly number[],
  look: (moment: number) => void,
): Promise<number> {
  let still = 0;
  let worked = 0;
  // Windows can end a process but not stop it
  const wanted = process.platform === "win32" ? moments.slice(-1) : moments;
  for (const [i, moment] of wanted.entries()) {
    await Promise.race([ended, rest(Math.max(0, moment - worked))]);
    worked = Math.max(worked, moment);
    if (child.exitCode !== null || child.signalCode !== null) break;
    if (i === wanted.length - 1) {
      child.kill("SIGKILL");
      break;
    }
    const stopped = performance.now();
    child.kill("SIGSTOP");
    if (await standsStill(child.pid!)) look(moment);
    child.kill("SIGCONT");
    still += performance.now() - stopped;
  }
  return still;
}

/** Waits until every thread of a process stands still; false when it has ended instead. */
async function standsStill(pid: number): Promise<boolean> {
  for (;;) {
    const states = threadStates(pid);
    if (states.length === 0 || states.some((state) => "ZX".includes(state))) return false;
    if (states.every((state) => state === "T")) return true;
    await rest(1);
  }
}

/** The letter of state of each thread: of Linux's proc(5) where there is one, else of ps(1). */
function threadStates(pid: number): readonly string[] {
  if (!existsSync("/proc/self/task")) {
    const { stdout } = spawnSync("ps", ["-o", "state=", "-p", String(pid)], { encoding: "utf8" });
    return stdout.trim() === "" ? [] : [stdout.trim()[0]!];
  }
  try {
    return readdirSync(`/proc/${pid}/task`).map((thread) => {
      const stat = readFileSync(`/proc/${pid}/task/${thread}/stat`, "utf8");
      return stat[stat.lastIndexOf(")") + 2]!;
    });
  } catch {
    return [];
  }
}
