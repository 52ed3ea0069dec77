import { readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import { createRequire } from "node:module";
import type { AddressInfo } from "node:net";
import { join, relative } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { writeFiles } from "../../pipelines/write-files.ts";
import { chartDrawer } from "../../src/output/draw-chart.ts";
import { animalsPages } from "../../src/report/animals-page.tsx";
import { chartType } from "../../src/report/design/tokens.ts";
import { handoutPage } from "../../src/report/handout-page.tsx";
import { indexPage } from "../../src/report/index-page.tsx";
import { seasonPage } from "../../src/report/season-page.tsx";
import { readers } from "../../src/report/season-page-input.ts";
import { worklistPage } from "../../src/report/worklist-page.tsx";
import { call, scratchFolder } from "../pipelines/recording-rim.ts";
import { fullFlock, hostile } from "../report/full-flock.ts";
import { openBrowser } from "./open-browser.ts";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Pages of a sample flock as the program writes them, and of an invented one whose names would break a page. */
const folder = scratchFolder();
let browser: Browser;
let visits: ReadonlyMap<string, Visit>;

beforeAll(async () => {
  const outcome = await call(
    "run",
    "data-samples/visits-in-inches",
    "--out",
    join(folder, "sample"),
    "--quiet",
  );
  expect(outcome).toMatchObject({ code: 0, told: "" });
  const input = fullFlock();
  const draw = chartDrawer();
  writeFiles(join(folder, "invented"), [
    { path: "index.html", content: indexPage(input, input.seasons.slice(-1)) },
    { path: "worklist.html", content: worklistPage(input, input.findings.nextCheck) },
    ...animalsPages(input),
    // a warning of a notifiable disease may take a handout to a second page
    await handoutPage({ ...input, notifiable: [] }, draw),
    ...(await Promise.all(readers.map((reader) => seasonPage(input, reader, draw)))).flat(),
  ]);
  writeFiles(join(folder, "invented-es"), [
    ...(await seasonPage(fullFlock("es"), "vet", draw)),
    ...(await seasonPage(fullFlock("es"), "extension", draw)),
  ]);
  const files = [
    ...pagesIn(join(folder, "invented")),
    ...pagesIn(join(folder, "invented-es")),
    ...["index.html", "worklist.html", "intake.html"].map((file) => join(folder, "sample", file)),
    ...pagesIn(join(folder, "sample", "2024-summer")),
  ];
  browser = await openBrowser();
  const found = new Map<string, Visit>();
  for (const file of files) found.set(file, await visit(file));
  visits = found;
}, 300_000);

afterAll(async () => {
  await browser?.close();
});

function pagesIn(place: string): readonly string[] {
  return readdirSync(place, { recursive: true })
    .map(String)
    .filter((file) => file.endsWith(".html"))
    .map((file) => join(place, file));
}

/** What one visit of a page found, at the width of a desk and of a phone. */
interface Visit {
  readonly troubles: readonly string[];
  readonly requests: readonly string[];
  readonly violations: readonly string[];
  readonly phoneWidth: number;
  /** Sizes of type in the charts that a phone shows, px. */
  readonly phoneType: readonly number[];
}

/** Opens a page and keeps what it says on the console and what it asks of the network. */
async function open(file: string): Promise<Opened> {
  const page = await browser.newPage({ viewport: { width: 1100, height: 800 } });
  const troubles: string[] = [];
  const requests: string[] = [];
  page.on("console", (message) => troubles.push(message.text()));
  page.on("pageerror", (error) => troubles.push(String(error)));
  page.on("dialog", (dialog) => {
    troubles.push(`dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  page.on("request", (request) => requests.push(request.url()));
  await page.goto(pathToFileURL(file).href);
  return { page, troubles, requests };
}

interface Opened {
  readonly page: Page;
  readonly troubles: string[];
  readonly requests: string[];
}

async function visit(file: string): Promise<Visit> {
  const { page, troubles, requests } = await open(file);
  const violations = await faultsOf(page);
  await page.setViewportSize({ width: 360, height: 800 });
  const phone = await page.evaluate((typeSize) => {
    const shown = Array.from(document.querySelectorAll("figure svg")).filter(
      (svg) => svg.getClientRects().length > 0,
    );
    return {
      phoneWidth: document.documentElement.scrollWidth,
      phoneType: shown.map(
        (svg) => (typeSize * svg.getBoundingClientRect().width) / Number(svg.getAttribute("width")),
      ),
    };
  }, chartType.size);
  await page.close();
  return { troubles, requests, violations, ...phone };
}

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

describe("every page", () => {
  const each = (check: (visit: Visit, name: string, file: string) => void): void => {
    expect(visits.size).toBeGreaterThan(12);
    for (const [file, found] of visits) check(found, relative(folder, file), file);
  };

  test("opens without a word on the console", () => {
    each(({ troubles }, name) => expect(troubles, name).toEqual([]));
  });

  test("asks the network for nothing but itself", () => {
    each(({ requests }, name, file) => expect(requests, name).toEqual([pathToFileURL(file).href]));
  });

  test("does not scroll sideways on a phone", () => {
    each(({ phoneWidth }, name) => expect(phoneWidth, name).toBe(360));
  });

  test("keeps the type of its charts readable on a phone", () => {
    each(({ phoneType }, name) => {
      for (const size of phoneType) expect(size, name).toBeGreaterThanOrEqual(12);
    });
  });

  test("has no fault that axe-core knows", () => {
    each(({ violations }, name) => expect(violations, name).toEqual([]));
  });

  test("weighs under 1.5 MB", () => {
    each((_, name, file) => expect(statSync(file).size, name).toBeLessThan(1_500_000));
  });

  test("shows all its charts at one width", async () => {
    const { page } = await open(join(folder, "invented/2024-spring/extension.html"));
    const widths = await page.evaluate(() =>
      Array.from(
        document.querySelectorAll("figure .wide-chart svg"),
        (svg) => svg.getBoundingClientRect().width,
      ),
    );
    expect(widths.length).toBeGreaterThan(4);
    expect(new Set(widths).size).toBe(1);
    await page.close();
  });
});

describe("the policy", () => {
  test("keeps out scripts, pictures, frames, forms and styles that slipped into the markup", async () => {
    const asked: string[] = [];
    const server = createServer((request, response) => {
      asked.push(request.url ?? "");
      response.end();
    });
    await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready));
    const { port } = server.address() as AddressInfo;
    const away = `http://127.0.0.1:${port}/`;
    const slipped = join(folder, "invented/slipped.html");
    writeFileSync(
      slipped,
      readFileSync(join(folder, "invented/2024-spring/vet.html"), "utf8").replace(
        "<main",
        `<p id="victim">x</p><script>document.title="run"</script><script src="${away}a.js"></script>
        <img src="${away}a.png" onerror="document.title='run'"><iframe src="${away}frame"></iframe>
        <link rel="stylesheet" href="${away}a.css"><style>#victim{color:rgb(1,2,3)}</style>
        <p id="styled" style="color:rgb(1,2,3)">y</p><form action="${away}sent" id="out"></form><main`,
      ),
    );
    const { page } = await open(slipped);
    await page.evaluate(() => (document.getElementById("out") as HTMLFormElement).submit());
    await page.waitForTimeout(200);
    const colours = await page.evaluate(() =>
      ["victim", "styled"].map((id) => getComputedStyle(document.getElementById(id)!).color),
    );
    expect(asked).toEqual([]);
    expect(await page.title()).not.toBe("run");
    expect(colours).not.toContain("rgb(1, 2, 3)");
    await page.close();
    server.close();
  });

  test("names that look like markup are shown as they are", async () => {
    const { page, troubles } = await open(join(folder, "invented/2024-spring/vet.html"));
    expect(await page.textContent("h1")).toContain(hostile.flock);
    expect(await page.evaluate(() => document.querySelectorAll("script, img, iframe").length)).toBe(0);
    expect(troubles).toEqual([]);
    await page.close();
  });
});

describe("by keyboard", () => {
  test("the first stop skips to the short answer, and every stop shows where it is", async () => {
    const { page } = await open(join(folder, "invented/2024-spring/vet.html"));
    await page.keyboard.press("Tab");
    const skip = await page.evaluate(() => {
      const link = document.activeElement as HTMLAnchorElement;
      return { hash: link.hash, left: link.getBoundingClientRect().left };
    });
    expect(skip.hash).toBe("#answer");
    expect(skip.left).toBeGreaterThanOrEqual(0);
    await page.keyboard.press("Enter");
    expect(await page.evaluate(() => location.hash)).toBe("#answer");
    await page.keyboard.press("Tab");
    const next = await page.evaluate(() => ({
      inside: document.querySelector("#answer")!.contains(document.activeElement),
      outline: getComputedStyle(document.activeElement!).outlineWidth,
    }));
    expect(next).toEqual({ inside: true, outline: "3px" });
    await page.close();
  });

  test("a folded table opens by key", async () => {
    const { page } = await open(join(folder, "invented/2024-spring/vet.html"));
    await page.focus("details summary");
    await page.keyboard.press("Enter");
    expect(await page.evaluate(() => document.querySelector("details")!.open)).toBe(true);
    await page.close();
  });
});

describe("in print", () => {
  for (const format of ["A4", "Letter"] as const) {
    test(`on ${format} no chart and no row is wider than the page, and the handout is one page`, async () => {
      for (const [file, most] of [
        ["invented/2024-spring/extension.html", 30],
        ["invented/2024-spring/handout.html", 1],
        ["invented/worklist.html", 3],
      ] as const) {
        const { page } = await open(join(folder, file));
        const pdf = await page.pdf({ format, preferCSSPageSize: true });
        expect(pagesOf(pdf), file).toBeLessThanOrEqual(most);
        await page.close();
      }
    });
  }

  test("charts and rows are not cut across pages, and rows of the work list are at least 14 mm high", async () => {
    const { page } = await open(join(folder, "invented/worklist.html"));
    await page.setViewportSize({ width: 690, height: 800 });
    await page.emulateMedia({ media: "print" });
    const rows = await page.evaluate(() => ({
      heights: Array.from(
        document.querySelectorAll("table.barn tr:has(.tag)"),
        (row) => row.getBoundingClientRect().height,
      ),
      tag: getComputedStyle(document.querySelector("table.barn .tag")!).fontSize,
      kept: getComputedStyle(document.querySelector("table.barn tbody tr")!).breakInside,
      heads: getComputedStyle(document.querySelector("table.barn thead")!).display,
    }));
    // CSS: 96 px to the inch, 72 pt to the inch
    for (const height of rows.heights) expect(height).toBeGreaterThanOrEqual((14 / 25.4) * 96);
    expect(Number.parseFloat(rows.tag)).toBeCloseTo((12 / 72) * 96, 1);
    expect(rows.kept).toBe("avoid");
    expect(rows.heads).toBe("table-header-group");
    await page.goto(pathToFileURL(join(folder, "invented/2024-spring/extension.html")).href);
    const figures = await page.evaluate(() =>
      // of small pictures side by side each is kept whole, not all of them together
      Array.from(document.querySelectorAll("figure:not(:has(.small)), figure .small > div"), (figure) => ({
        kept: getComputedStyle(figure).breakInside,
        fits: figure.scrollWidth <= figure.clientWidth,
      })),
    );
    expect(figures.length).toBeGreaterThan(4);
    for (const figure of figures) expect(figure).toEqual({ kept: "avoid", fits: true });
    await page.close();
  });
});

/** Pages of a PDF: its page objects (ISO 32000-1, 7.7.3.3). */
function pagesOf(pdf: Buffer): number {
  return pdf.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
}
