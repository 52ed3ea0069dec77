import { createReadStream, existsSync, realpathSync, statSync } from "node:fs";
import { createServer, type IncomingMessage, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { extname, join, sep } from "node:path";

export interface Site {
  /** The folder whose files are served, and nothing outside it. */
  readonly folder: string;
  /** Files served in the place of those of the folder, by their paths on the site. */
  readonly instead: Readonly<Record<string, string>>;
  /** The port; 0 takes a free one. */
  readonly port: number;
}

export interface SiteServer {
  /** Where a browser finds it. */
  readonly address: string;
  close(): Promise<void>;
}

/**
 * Serves a folder on the loopback address alone, for reading alone. A page of another site that a browser has
 * open could ask this server too, by its address or by a name that it points here: so calls must name this host
 * (RFC 9110, section 7.2) and come from no other origin (RFC 6454, section 7; Fetch Metadata Request Headers).
 */
export async function serveSite(site: Site): Promise<SiteServer> {
  const folder = realpathSync(site.folder);
  let hosts: readonly string[] = [];
  const server = createServer((request, response) => {
    const refused = refusal(request, hosts);
    if (refused !== null) return end(response, refused);
    const file = fileFor(folder, site.instead, request.url ?? "/");
    if (file === null) return end(response, 404);
    send(response, file, request.method === "HEAD");
  });
  await new Promise<void>((resolve, reject) => {
    server.once("error", reject);
    server.listen(site.port, LOOPBACK, resolve);
  });
  const { port } = server.address() as AddressInfo;
  hosts = [`${LOOPBACK}:${port}`, `localhost:${port}`];
  return {
    address: `http://${LOOPBACK}:${port}/`,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

const LOOPBACK = "127.0.0.1";

const types: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".json": "application/json",
  ".wasm": "application/wasm",
  ".duckdb": "application/octet-stream",
};

/** The status with which a call is refused; null when it may be answered. */
function refusal({ method, headers }: IncomingMessage, hosts: readonly string[]): number | null {
  if (method !== "GET" && method !== "HEAD") return 405;
  if (headers.host === undefined || !hosts.includes(headers.host.toLowerCase())) return 403;
  const { origin } = headers;
  if (origin !== undefined && !hosts.some((host) => origin.toLowerCase() === `http://${host}`)) return 403;
  const from = headers["sec-fetch-site"];
  const followed = headers["sec-fetch-mode"] === "navigate" && headers["sec-fetch-dest"] === "document";
  return from === undefined || from === "same-origin" || from === "none" || followed ? null : 403;
}

/** The file that a call asks for; null when there is none that may be served. */
function fileFor(folder: string, instead: Site["instead"], url: string): string | null {
  let path: string;
  try {
    path = decodeURIComponent(url.split(/[?#]/)[0]!).replace(/^\/+/, "");
  } catch {
    return null;
  }
  if (path === "") path = "index.html";
  if (/[\\\0:]/.test(path) || path.split("/").some((part) => part === "" || part.startsWith(".")))
    return null;
  if (Object.hasOwn(instead, path)) return instead[path]!;
  const file = join(folder, path);
  if (!Object.hasOwn(types, extname(file)) || !existsSync(file)) return null;
  // a link inside the folder may lead out of it
  const real = realpathSync(file);
  return real.startsWith(folder + sep) && statSync(real).isFile() ? real : null;
}

function send(response: ServerResponse, file: string, headOnly: boolean): void {
  response.writeHead(200, {
    ...guards,
    "Content-Type": types[extname(file)] ?? "application/octet-stream",
    "Content-Length": statSync(file).size,
  });
  if (headOnly) response.end();
  else
    createReadStream(file)
      .on("error", () => response.destroy())
      .pipe(response);
}

function end(response: ServerResponse, status: number): void {
  response.writeHead(status, {
    ...guards,
    ...(status === 405 ? { Allow: "GET, HEAD" } : {}),
    "Content-Length": 0,
  });
  response.end();
}

/** No page elsewhere may frame or read what is served, and no browser keeps it. */
const guards = {
  "Content-Security-Policy": "frame-ancestors 'none'",
  "Cross-Origin-Resource-Policy": "same-origin",
  "X-Content-Type-Options": "nosniff",
  "Referrer-Policy": "no-referrer",
  "Cache-Control": "no-store",
};
