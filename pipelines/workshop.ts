import { existsSync, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { hostname } from "node:os";
import { dirname, join } from "node:path";

/**
 * Does the work in a hidden folder on the same disk as `target`, from where finished files are moved into
 * place, and clears the folder away whatever happens. Folders that a killed run of this machine left behind
 * go too.
 */
export async function inWorkshop<T>(target: string, work: (folder: string) => Promise<T> | T): Promise<T> {
  const place = nearestFolder(target);
  clearAbandoned(place);
  const folder = mkdtempSync(join(place, `${ownPrefix}${process.pid}-`));
  try {
    return await work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const ownPrefix = `.coronet-${hostname()}-`;

/** The folder that holds `target`, or the nearest one above it that is there. */
function nearestFolder(target: string): string {
  const above = dirname(target);
  return existsSync(above) || above === dirname(above) ? above : nearestFolder(above);
}

function clearAbandoned(place: string): void {
  for (const name of readdirSync(place)) {
    if (!name.startsWith(ownPrefix)) continue;
    const pid = Number.parseInt(name.slice(ownPrefix.length), 10);
    if (Number.isInteger(pid) && !isRunning(pid)) rmSync(join(place, name), { recursive: true, force: true });
  }
}

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // a process of somebody else may not be signalled, but it runs
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}
