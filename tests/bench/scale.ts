import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import type { FlockTimes } from "./scale-flock.ts";

/** What `bench.json` holds. */
interface ScaleReport {
  readonly node: string;
  readonly processor: string;
  readonly cores: number;
  readonly flocks: readonly FlockTimes[];
}

const FIVE_YEARS = 1826;
/** Seconds under which a step's growth is that of the clock and the compiler. */
const LEAST_SECONDS = 0.5;

/**
 * `npm run bench -- scale [GOATS…] [--against FILE]`: the main job on flocks of five years, each in a process of its
 * own. Prints seconds by step, memory, and the exponent with which each step grows; writes `bench.json`.
 */
export function benchScale(print: (line: string) => void, words: readonly string[]): void {
  const against = words.includes("--against") ? words[words.indexOf("--against") + 1] : undefined;
  const sizes = words.map(Number).filter((n) => Number.isInteger(n) && n > 0);
  const flocks = (sizes.length > 0 ? sizes : [100, 1000]).map((goats) => timesOf(goats));
  const report: ScaleReport = {
    node: process.version,
    processor: cpus()[0]?.model ?? "unknown",
    cores: cpus().length,
    flocks,
  };
  writeFileSync("bench.json", `${JSON.stringify(report, null, 2)}\n`);
  const old = against === undefined ? undefined : (JSON.parse(readFileSync(against, "utf8")) as ScaleReport);
  flocks.forEach((flock, i) => {
    tell(
      print,
      flock,
      flocks[i - 1],
      old?.flocks.find(({ goats }) => goats === flock.goats),
    );
  });
}

function timesOf(goats: number): FlockTimes {
  const folder = mkdtempSync(join(tmpdir(), "coronet-bench-"));
  try {
    const printed = execFileSync(
      process.execPath,
      ["--import", "tsx", join(import.meta.dirname, "scale-flock.ts"), folder, `${goats}`, `${FIVE_YEARS}`],
      { encoding: "utf8", maxBuffer: 1e8, stdio: ["ignore", "pipe", "inherit"] },
    );
    return JSON.parse(printed.trim().split("\n").at(-1)!) as FlockTimes;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function tell(
  print: (line: string) => void,
  flock: FlockTimes,
  smaller: FlockTimes | undefined,
  old: FlockTimes | undefined,
): void {
  print(
    `${flock.goats} goats, ${flock.days} days: ${flock.clawRecords} claw records, peak ${flock.peakMegabytes.toFixed(0)} MB; the engine alone reads the trims sheet in ${flock.plainRead.toFixed(2)} s`,
  );
  for (const { step, wall, cpu } of flock.steps) {
    const before = smaller?.steps.find((one) => one.step === step);
    const exponent =
      before === undefined || before.wall < LEAST_SECONDS
        ? ""
        : `  n^${(Math.log(wall / before.wall) / Math.log(flock.clawRecords / smaller!.clawRecords)).toFixed(2)}`;
    const earlier = old?.steps.find((one) => one.step === step);
    const then = earlier === undefined ? "" : `  (${earlier.wall.toFixed(1)} s before)`;
    if (wall >= LEAST_SECONDS || before !== undefined)
      print(
        `  ${step.padEnd(24)}${wall.toFixed(1).padStart(8)} s ${cpu.toFixed(1).padStart(8)} cpu s${exponent}${then}`,
      );
  }
}
