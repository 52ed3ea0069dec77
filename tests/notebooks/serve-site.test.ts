import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { request } from "node:http";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type SiteServer, serveSite } from "../../pipelines/serve-site.ts";
import { scratchFolder } from "../pipelines/recording-rim.ts";

const scratch = scratchFolder();
let server: SiteServer;
let port: number;

beforeAll(async () => {
  mkdirSync(join(scratch, "site/book"), { recursive: true });
  writeFileSync(join(scratch, "site/index.html"), "<p>the first page</p>");
  writeFileSync(join(scratch, "site/.hidden.html"), "hidden");
  writeFileSync(join(scratch, "site/notes.txt"), "of no served kind");
  writeFileSync(join(scratch, "site/book/flock.duckdb"), "the sample's bytes");
  writeFileSync(join(scratch, "outside.html"), "outside");
  writeFileSync(join(scratch, "own.duckdb"), "the book's bytes");
  symlinkSync(join(scratch, "outside.html"), join(scratch, "site/link.html"));
  server = await serveSite({
    folder: join(scratch, "site"),
    instead: { "book/flock.duckdb": join(scratch, "own.duckdb") },
    port: 0,
  });
  port = Number(new URL(server.address).port);
});

afterAll(() => server.close());

interface Answer {
  readonly status: number;
  readonly body: string;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
}

/** Asks with a path as it is written: a browser would tidy it first. */
function ask(path: string, headers: Readonly<Record<string, string>> = {}, method = "GET"): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const call = request(
      { host: "127.0.0.1", port, path, method, headers: { host: `127.0.0.1:${port}`, ...headers } },
      (response) => {
        let body = "";
        response.on("data", (part) => {
          body += part;
        });
        response.on("end", () => resolve({ status: response.statusCode!, body, headers: response.headers }));
      },
    );
    call.on("error", reject);
    call.end();
  });
}

describe("the server of the notebooks", () => {
  test("listens on the loopback address alone", () => {
    expect(new URL(server.address).hostname).toBe("127.0.0.1");
  });

  test("gives a page, and the given book in the place of the sample's", async () => {
    expect(await ask("/")).toMatchObject({ status: 200, body: "<p>the first page</p>" });
    expect(await ask("/book/flock.duckdb")).toMatchObject({ status: 200, body: "the book's bytes" });
  });

  test("tells of a file without giving it", async () => {
    const { status, body, headers } = await ask("/book/flock.duckdb", {}, "HEAD");
    expect({ status, body, length: headers["content-length"] }).toEqual({
      status: 200,
      body: "",
      length: "16",
    });
  });

  test.each(["POST", "PUT", "DELETE", "OPTIONS", "PATCH"])("refuses %s", async (method) => {
    expect((await ask("/", {}, method)).status).toBe(405);
  });

  test.each(["evil.example", "127.0.0.1.evil.example", "127.0.0.1:1", "[::1]"])(
    "refuses a call that names the host %s",
    async (host) => {
      expect(await ask("/book/flock.duckdb", { host })).toMatchObject({ status: 403, body: "" });
    },
  );

  test.each(["http://evil.example", "null", "http://127.0.0.1:1", "https://localhost"])(
    "refuses a call from the origin %s",
    async (origin) => {
      expect(await ask("/book/flock.duckdb", { origin })).toMatchObject({ status: 403, body: "" });
    },
  );

  test("refuses what another site's page embeds, but lets its links be followed", async () => {
    const embedded = {
      "sec-fetch-site": "cross-site",
      "sec-fetch-mode": "no-cors",
      "sec-fetch-dest": "script",
    };
    const followed = {
      "sec-fetch-site": "cross-site",
      "sec-fetch-mode": "navigate",
      "sec-fetch-dest": "document",
    };
    expect((await ask("/book/flock.duckdb", embedded)).status).toBe(403);
    expect((await ask("/", followed)).status).toBe(200);
  });

  test.each([
    "/../outside.html",
    "/%2e%2e/outside.html",
    "/book/../../outside.html",
    "/book/..%2f..%2foutside.html",
    "/..%5coutside.html",
    "//outside.html/..",
    "/link.html",
    "/.hidden.html",
    "/notes.txt",
    "/book",
    "/%00",
    "/%zz",
    "/constructor",
  ])("serves nothing for %s", async (path) => {
    expect(await ask(path)).toMatchObject({ status: 404, body: "" });
  });

  test("lets no other site frame or keep what it gives", async () => {
    const { headers } = await ask("/");
    expect(headers).toMatchObject({
      "content-security-policy": "frame-ancestors 'none'",
      "cross-origin-resource-policy": "same-origin",
      "x-content-type-options": "nosniff",
      "cache-control": "no-store",
    });
  });
});
