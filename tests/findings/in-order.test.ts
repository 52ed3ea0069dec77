import { describe, expect, it } from "vitest";
import type { Finding } from "../../src/findings/finding.ts";
import { inOrder } from "../../src/findings/in-order.ts";
import { defineTable, text } from "../../src/records/table.ts";

function finding(name: string, reads: readonly string[]): Finding {
  const table = defineTable({
    schema: "results",
    name,
    grain: ["flock"],
    columns: { flock: text.always("flock") },
    reads,
    identities: [],
  });
  return { tables: [table], fill: async () => undefined };
}

const nameOf = (one: Finding): string => one.tables[0]!.name;
const pause = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));

describe("findings in order", () => {
  it("start when the tables that they read are filled, whatever their place in the list", async () => {
    const events: string[] = [];
    const list = [
      finding("last", ["results.middle", "herd.claw_record"]),
      finding("middle", ["results.first", "results.middle"]),
      finding("first", []),
    ];
    await inOrder(list, async (one) => {
      events.push(`${nameOf(one)} starts`);
      await pause(1);
      events.push(`${nameOf(one)} ends`);
    });
    expect(events).toEqual([
      "first starts",
      "first ends",
      "middle starts",
      "middle ends",
      "last starts",
      "last ends",
    ]);
  });

  it("run side by side where neither reads the other", async () => {
    let running = 0;
    let most = 0;
    await inOrder([finding("one", []), finding("other", [])], async () => {
      most = Math.max(most, ++running);
      await pause(1);
      running--;
    });
    expect(most).toBe(2);
  });

  it("wait for each other before a failure is told, and start nothing that reads what failed", async () => {
    const done: string[] = [];
    const list = [finding("fails", []), finding("slow", []), finding("reader", ["results.fails"])];
    await expect(
      inOrder(list, async (one) => {
        if (nameOf(one) === "fails") throw new Error("no such column");
        await pause(5);
        done.push(nameOf(one));
      }),
    ).rejects.toThrow("no such column");
    expect(done).toEqual(["slow"]);
  });
});
