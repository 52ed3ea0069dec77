import type { Finding } from "./finding.ts";

/**
 * Runs every finding once those are done whose tables it reads or adds to, so that jobs of findings that do not wait for each
 * other can be done side by side. When one fails the others are waited for, and the first failure is thrown.
 */
export async function inOrder(
  findings: readonly Finding[],
  run: (finding: Finding) => Promise<void>,
): Promise<void> {
  const fills = new Map(
    findings.flatMap((finding) => finding.tables.map((table) => [nameOf(table), finding])),
  );
  const running = new Map<Finding, Promise<void>>();
  const start = (finding: Finding): Promise<void> => {
    const known = running.get(finding);
    if (known !== undefined) return known;
    const needed = [
      ...finding.tables.flatMap(({ reads }) => reads),
      ...(finding.adds ?? []).map((table) => nameOf(table)),
    ];
    const before = new Set(needed.flatMap((name) => fills.get(name) ?? []));
    before.delete(finding);
    const done = Promise.all([...before].map(start)).then(() => run(finding));
    running.set(finding, done);
    return done;
  };
  const settled = await Promise.allSettled(findings.map(start));
  for (const outcome of settled) if (outcome.status === "rejected") throw outcome.reason;
}

function nameOf({ schema, name }: Finding["tables"][number]): string {
  return `${schema}.${name}`;
}
