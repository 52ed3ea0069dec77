import type { Finding } from "./finding.ts";

/**
 * Begins every finding's jobs, then runs each once those are done whose tables it reads or adds to, so that jobs of
 * findings that do not wait for each other can be done side by side. When one fails the others are waited for, and the
 * failure that came first is thrown.
 */
export async function inOrder(
  findings: readonly Finding[],
  run: (finding: Finding) => Promise<void>,
  begin: (finding: Finding) => Promise<unknown> = async () => undefined,
): Promise<void> {
  const fills = new Map(
    findings.flatMap((finding) => finding.tables.map((table) => [nameOf(table), finding])),
  );
  const running = new Map<Finding, Promise<void>>();
  const failures: unknown[] = [];
  const note = <T>(work: Promise<T>): Promise<T> =>
    work.catch((error: unknown) => {
      failures.push(error);
      throw error;
    });
  const begun = findings.map((finding) => note(begin(finding)));
  const start = (finding: Finding): Promise<void> => {
    const known = running.get(finding);
    if (known !== undefined) return known;
    const needed = [
      ...finding.tables.flatMap(({ reads }) => reads),
      ...(finding.adds ?? []).map((table) => nameOf(table)),
    ];
    const before = new Set(needed.flatMap((name) => fills.get(name) ?? []));
    before.delete(finding);
    const done = Promise.all([...before].map(start)).then(() => note(run(finding)));
    running.set(finding, done);
    return done;
  };
  await Promise.allSettled([...begun, ...findings.map(start)]);
  if (failures.length > 0) throw failures[0];
}

function nameOf({ schema, name }: Finding["tables"][number]): string {
  return `${schema}.${name}`;
}
