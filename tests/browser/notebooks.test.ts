import { copyFileSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { strFromU8, unzipSync } from "fflate";
import type { Browser, Download, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { bookPlace, buildNotebooks, notebooks } from "../../pipelines/build-notebooks.ts";
import { openNativeBook } from "../../pipelines/native-book.ts";
import { type SiteServer, serveSite } from "../../pipelines/serve-site.ts";
import { resultFiles } from "../../src/output/result-files.ts";
import { scratchFolder } from "../pipelines/recording-rim.ts";
import { openBrowser } from "./open-browser.ts";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const site = join(scratchFolder(), "site");
/** The sheets of the site's book; the same are dropped into the page. */
const folder = join(scratchFolder(), "sheets");
let server: SiteServer;
let browser: Browser;

beforeAll(async () => {
  writeSheets();
  await buildNotebooks(site, folder);
  server = await serveSite({ folder: site, instead: {}, port: 0 });
  browser = await openBrowser();
});

afterAll(async () => {
  await browser?.close();
  await server?.close();
});

interface Visit {
  readonly page: Page;
  /** What the console said, and every request to anywhere but the site. */
  readonly troubles: string[];
}

const visits = new Map<string, Promise<Visit>>();

/** A notebook, opened once: starting the engine is what takes time. */
function visit(name: string): Promise<Visit> {
  const known = visits.get(name) ?? open(name);
  visits.set(name, known);
  return known;
}

/** Opens a notebook in a browser that has no network but the site. */
async function open(name: string): Promise<Visit> {
  const context = await browser.newContext({ viewport: { width: 1100, height: 800 }, acceptDownloads: true });
  context.setDefaultTimeout(110_000);
  const troubles: string[] = [];
  await context.route(
    (url) => !url.href.startsWith(server.address),
    (route) => {
      troubles.push(`outside: ${route.request().url()}`);
      return route.abort();
    },
  );
  const page = await context.newPage();
  page.on("console", (message) => troubles.push(message.text()));
  page.on("pageerror", (error) => troubles.push(String(error)));
  await page.goto(`${server.address}${name}.html`);
  return { page, troubles };
}

const bookOpen = (page: Page) => page.waitForSelector("[data-book=open]");

/** What axe-core finds wrong on a page. */
async function faultsOf(page: Page): Promise<readonly string[]> {
  // the page's policy would refuse the checker as a script; the debugger's world is outside it
  const session = await page.context().newCDPSession(page);
  await session.send("Runtime.evaluate", { expression: axe });
  return page.evaluate(async () => {
    interface Checker {
      run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }>;
    }
    const found = await (globalThis as unknown as { axe: Checker }).axe.run();
    return found.violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html.slice(0, 200)}`);
  });
}

async function textOfDownload(download: Download): Promise<string> {
  return readFileSync(await download.path(), "utf8").replace(/^\uFEFF/, "");
}

/** Rows of the book beside the notebooks, asked natively. */
async function askNatively(sql: string): Promise<Record<string, string | null>[]> {
  const book = await openNativeBook(join(site, bookPlace), { readOnly: true });
  try {
    return await book.rows(`SELECT CAST(COLUMNS(*) AS VARCHAR) FROM (${sql})`);
  } finally {
    await book.close();
  }
}

describe("explore", () => {
  test("answers each topic from the book, and changes with its controls", async () => {
    const { page } = await visit("explore");
    await bookOpen(page);
    for (const topic of ["growth", "lameness", "retrim", "conditions", "lines"]) {
      await page.selectOption("#choose-topic", topic);
      await page.waitForSelector(`[data-topic=${topic}]`);
      expect(await page.locator("section h2").count(), topic).toBeGreaterThanOrEqual(2);
      expect(await page.locator("section pre").first().textContent(), topic).toContain("FROM results.");
    }
    await page.selectOption("#choose-topic", "growth");
    await page.selectOption("#choose-group", "foot");
    await page.waitForSelector("h2:has-text('by foot')");
    const expected = await askNatively(
      "SELECT group_value, animals, rate_mm_30d FROM results.growth_summary WHERE season = 'all' AND group_kind IN ('flock', 'foot') ORDER BY group_kind = 'flock', group_value = 'unknown', group_value",
    );
    const cells = await page
      .locator("section")
      .first()
      .locator("tbody tr")
      .evaluateAll((rows) => rows.map((row) => Array.from(row.children, (cell) => cell.textContent)));
    expect(cells.length).toBeGreaterThan(2);
    expect(cells.map((row) => [row[1], row[2]])).toEqual(
      expected.map((row) => [row.group_value, row.animals]),
    );
    cells.forEach((row, i) => {
      expect(Number(row[4])).toBeCloseTo(Number(expected[i]!.rate_mm_30d), 3);
    });
    const told = expected.filter((row) => row.rate_mm_30d !== null).length - 1;
    expect(await page.locator("section").first().locator("figure svg circle").count()).toBe(told);
    expect(await page.locator("section figure").first().textContent()).toContain("inch in 30 days");
  });

  test("a figure of copper stands under its caution", async () => {
    const { page } = await visit("explore");
    await bookOpen(page);
    await page.selectOption("#choose-topic", "conditions");
    await page.selectOption("#choose-exposure", "copper_diet");
    await page.waitForSelector("[data-topic=conditions] .caution");
    expect(await page.textContent(".caution")).toContain("Sheep");
  });
});

describe("ask", () => {
  test("answers as the command line does, gives CSV, and refuses what is no single question", async () => {
    const { page } = await visit("ask");
    await bookOpen(page);
    await page.waitForSelector("[data-answer=given]");
    const ask = async (sql: string): Promise<void> => {
      await page.fill("#question", sql);
      await page.click("button:text-is('Ask')");
    };
    const sql = "SELECT check_name, rows_looked_at, rows_flagged FROM results.quality ORDER BY check_name";
    await ask(sql);
    await page.waitForSelector("th:text-is('rows_flagged')");
    const downloading = page.waitForEvent("download");
    await page.click("button:text-is('Save as CSV')");
    const [header, ...lines] = (await textOfDownload(await downloading)).trim().split("\n");
    expect(header).toBe("check_name,rows_looked_at,rows_flagged");
    const expected = await askNatively(sql);
    expect(expected.length).toBeGreaterThan(1);
    expect(lines.map((line) => line.split(",").slice(-2))).toEqual(
      expected.map((row) => [row.rows_looked_at, row.rows_flagged]),
    );
    for (const wrong of [
      "SELECT 1; DROP TABLE results.line",
      "DROP TABLE results.line",
      "COPY results.line TO 'x.csv'",
      "SELECT * FROM read_text('x')",
    ]) {
      await ask(wrong);
      await page.waitForSelector("[data-answer=refused]");
      await ask("SELECT count(*) AS kept FROM results.line");
      await page.waitForSelector("[data-answer=given]");
    }
    await page.locator("summary:text-is('results.lameness')").click();
    expect(await page.textContent("details[open] dl")).toContain("animals scored at least once");
  });
});

describe("own sheets", () => {
  test("sheets that hold nothing are refused in words, and others can follow", async () => {
    const { page } = await visit("own-sheets");
    await page.waitForSelector(".drop");
    const give = (name: string, text: string): Promise<void> =>
      page.setInputFiles("input[type=file]:not([webkitdirectory])", {
        name,
        mimeType: "text/csv",
        buffer: Buffer.from(text),
      });
    await give("film.mp4", "x");
    await page.waitForSelector("[data-outcome=refused]", { state: "attached" });
    expect(await page.textContent("[role=alert]")).toContain("No sheet was found");
    await give("prices.csv", "fruit,price\npear,2\n");
    await page.waitForSelector("text=Not read.");
    await page.waitForSelector("[data-outcome=refused]", { state: "attached" });
    expect(await page.textContent("[role=alert]")).toContain("nothing to report on");
  });

  test("the sheets give the tables that the command line gives, and pages to keep", async () => {
    const { page } = await visit("own-sheets");
    await page.waitForSelector(".drop");
    await drop(page, folder);
    await page.waitForSelector("[data-outcome=working]", { state: "attached" });
    // the first findings stand before all is done
    for (const says of ["goats present", "Hooves grew"])
      await page.waitForSelector(`[data-outcome=working] li:has-text('${says}')`);
    await page.waitForSelector("[data-outcome=done], [data-outcome=refused]", { state: "attached" });
    expect(await page.locator("[role=alert]").allTextContents()).toEqual([]);
    const downloading = page.waitForEvent("download");
    await page.click("button:text-is('Save all, in one zip file')");
    const zip = unzipSync(new Uint8Array(readFileSync(await (await downloading).path())));
    const expected = await nativeResults();
    const tables = Object.keys(expected).filter((path) => path !== "results/manifest.csv");
    expect(tables.length).toBeGreaterThan(30);
    let compared = 0;
    for (const path of tables) {
      expect(zip[path], path).toBeDefined();
      compared += compareTables(path, strFromU8(zip[path]!), expected[path]!);
    }
    expect(compared).toBeGreaterThan(1000);
    expect(Object.keys(zip)).toEqual(
      expect.arrayContaining(["index.html", "worklist.html", "set-aside.csv", "manifest.json"]),
    );
    const frame = page.frameLocator("iframe.sheet");
    await frame.locator("h1").waitFor();
    // a link on the page leads to another page here
    await page.selectOption("#page-shown", Object.keys(zip).find((path) => path.endsWith("/vet.html"))!);
    await frame.locator("nav a[href='breeder.html']").click();
    await expect.poll(() => page.inputValue("#page-shown")).toMatch(/\/breeder\.html$/);
  });
});

describe("every notebook", () => {
  test("its worker may ask nothing of any other host", async () => {
    const { page, troubles } = await visit("flock");
    await bookOpen(page);
    expect(troubles).toEqual([]);
    const refused = await page.workers()[0]!.evaluate(
      () =>
        new Promise((resolve) => {
          addEventListener("securitypolicyviolation", (event) =>
            resolve((event as SecurityPolicyViolationEvent).effectiveDirective),
          );
          fetch("https://example.org/").then(() => resolve("sent"));
        }),
    );
    expect(refused).toBe("connect-src");
  });

  test.each(notebooks)(
    "%s has no fault that axe-core knows, in light and dark, and fits a phone",
    async (name) => {
      const { page } = await visit(name);
      if (name === "flock") await page.waitForSelector("#cell-6 table");
      expect(await faultsOf(page)).toEqual([]);
      await page.emulateMedia({ colorScheme: "dark" });
      expect(await faultsOf(page)).toEqual([]);
      await page.setViewportSize({ width: 360, height: 800 });
      await page.waitForTimeout(300);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(360);
    },
  );

  test.each(notebooks.filter((name) => name !== "flock"))(
    "%s said nothing on its console and asked nothing of any other host",
    async (name) => {
      expect((await visit(name)).troubles).toEqual([]);
    },
  );
});

/** Drops the files of a folder as a browser hands them over. */
async function drop(page: Page, folder: string): Promise<void> {
  const files = readdirSync(folder).map((name) => ({
    name,
    bytes: readFileSync(join(folder, name)).toString("base64"),
  }));
  const transfer = await page.evaluateHandle((given) => {
    const made = new DataTransfer();
    for (const { name, bytes } of given)
      made.items.add(new File([Uint8Array.from(atob(bytes), (letter) => letter.charCodeAt(0))], name));
    return made;
  }, files);
  await page.dispatchEvent(".drop", "drop", { dataTransfer: transfer });
}

async function nativeResults(): Promise<Readonly<Record<string, string>>> {
  const book = await openNativeBook(join(site, bookPlace), { readOnly: true });
  try {
    const files = await resultFiles(book);
    return Object.fromEntries(
      files.filter(({ path }) => path.endsWith(".csv")).map(({ path, content }) => [path, content]),
    );
  } finally {
    await book.close();
  }
}

/** Visits in inches, with pens and rations by hand beside them, so that growth can be asked by what was fed. */
function writeSheets(): void {
  mkdirSync(folder, { recursive: true });
  const sample = "data-samples/visits-in-inches";
  const write = (name: string, lines: readonly string[]): void =>
    writeFileSync(join(folder, name), `${lines.join("\n")}\n`);
  for (const name of ["goats.csv", "hoof-visits.csv"]) copyFileSync(join(sample, name), join(folder, name));
  const tags = readFileSync(join(sample, "goats.csv"), "utf8")
    .trim()
    .split("\n")
    .slice(1)
    .map((line) => line.split(",")[0]!);
  write("stays.csv", [
    "animal,pen,from",
    ...tags.map((tag, i) => `${tag},${i % 2 === 0 ? "South" : "North"},2024-01-01`),
  ]);
  write("rations.csv", [
    "pen,from,to,crude protein (%),copper (ppm)",
    "North,2024-01-01,2024-05-20,11,9",
    "North,2024-05-20,2024-08-10,15,16",
    "North,2024-08-10,2024-11-15,12,12",
    "North,2024-11-15,2025-03-01,16,18",
    "South,2024-01-01,2024-06-20,14,17",
    "South,2024-06-20,2024-09-10,11,10",
    "South,2024-09-10,2024-12-15,15,15",
    "South,2024-12-15,2025-03-01,10,9",
  ]);
  write("flock.toml", ['units = "in"']);
}

/** Whole numbers and texts must be equal, fractions to 1e-6 of themselves. Returns how many cells it compared. */
function compareTables(path: string, found: string, expected: string): number {
  const cells = (text: string): string[][] =>
    text
      .replace(/^\uFEFF/, "")
      .split("\n")
      .map((line) => line.split(","));
  const own = cells(found);
  const native = cells(expected);
  expect(own.length, path).toBe(native.length);
  native.forEach((row, i) => {
    row.forEach((cell, k) => {
      const other = own[i]![k];
      if (cell === other) return;
      // a leading minus is shielded from spreadsheets by an apostrophe
      const [a, b] = [cell, other].map((text) => Number(String(text).replace(/^'/, ""))) as [number, number];
      const near = Math.abs(a - b) <= 1e-6 * Math.max(1, Math.abs(a));
      if (!near || Number.isInteger(a))
        throw new Error(`${path}, line ${i + 1}: ${cell}, in the page ${other}`);
    });
  });
  return native.reduce((sum, row) => sum + row.length, 0);
}
