import { spawnSync } from "node:child_process";

/** What a call meets: the largest file it may write, in bytes, or the account it runs under. */
interface Conditions {
  readonly largestFile?: number;
  readonly uid?: number;
}

/** Runs one call of the command line as a keeper would, under such conditions (POSIX shells only). */
export function callUnder(
  conditions: Conditions,
  argv: readonly string[],
): { code: number | null; told: string } {
  // ulimit -f counts blocks of 512 bytes (POSIX.1-2017, ulimit)
  const limit = conditions.largestFile === undefined ? "unlimited" : String(conditions.largestFile / 512);
  const words = ["-c", 'ulimit -f "$0" && exec "$@"', limit, process.execPath, "--import", "tsx"];
  const ended = spawnSync("sh", [...words, "pipelines/coronet.ts", ...argv], {
    encoding: "utf8",
    ...(conditions.uid === undefined ? {} : { uid: conditions.uid, gid: conditions.uid }),
  });
  return { code: ended.status, told: ended.stderr };
}
