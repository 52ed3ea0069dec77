import type { PageFile } from "../../src/report/page-shell.tsx";
import { element } from "../look/element.ts";
import { saveFile } from "../look/save-file.ts";

/**
 * Shows the pages one at a time, each shut into a frame without scripts, and gives them out to keep. Links from
 * page to page lead to the page here.
 */
export function pageViewer(
  files: readonly PageFile[],
  zip: () => Promise<Uint8Array<ArrayBuffer>>,
): HTMLElement {
  const pages = inReadingOrder(files.filter(({ path }) => path.endsWith(".html")));
  const select = element(
    "select",
    { id: "page-shown" },
    ...pages.map(({ path, content }) => element("option", { value: path }, titleOf(content, path))),
  );
  // same origin, so that links can be followed here; still without scripts
  const frame = element("iframe", {
    className: "sheet",
    title: "The page",
    attributes: { sandbox: "allow-same-origin allow-modals" },
  });
  const text = element("div", { className: "text", hidden: true });
  const show = (path: string, place = ""): void => {
    const file = files.find((one) => one.path === path);
    if (file === undefined) return;
    const isPage = path.endsWith(".html");
    frame.hidden = !isPage;
    text.hidden = isPage;
    if (isPage) {
      select.value = path;
      frame.srcdoc = file.content;
      frame.title = titleOf(file.content, path);
    } else text.replaceChildren(element("pre", {}, file.content));
    shown = path;
    placeToGo = place;
  };
  let shown = pages[0]?.path ?? "";
  let placeToGo = "";
  select.addEventListener("change", () => show(select.value));
  frame.addEventListener("load", () => {
    const page = frame.contentDocument;
    page?.addEventListener("click", (event) => follow(event, () => shown, show));
    if (placeToGo !== "") page?.getElementById(placeToGo)?.scrollIntoView();
  });
  const button = (words: string, first: boolean, act: () => void): HTMLElement => {
    const made = element("button", { type: "button", className: first ? "first" : "" }, words);
    made.addEventListener("click", act);
    return made;
  };
  const viewer = element(
    "section",
    { attributes: { "aria-label": "The pages" } },
    element("h2", {}, "Your pages"),
    element("p", {}, element("label", { htmlFor: select.id }, "Page"), select),
    element(
      "div",
      { className: "buttons" },
      button("Save all, in one zip file", true, async () =>
        saveFile("coronet-pages.zip", await zip(), "application/zip"),
      ),
      button("Save this page", false, () => {
        const file = files.find((one) => one.path === shown);
        if (file) saveFile(file.path.replaceAll("/", "-"), file.content, "text/html");
      }),
      button("Print this page", false, () => frame.contentWindow?.print()),
    ),
    frame,
    text,
  );
  show(shown);
  return viewer;
}

/** A link inside a page: to a place on it, the frame goes there itself; to another file, that one is shown. */
function follow(event: Event, shown: () => string, show: (path: string, place: string) => void): void {
  const link = (event.target as Element | null)?.closest?.("a[href]");
  const href = link?.getAttribute("href") ?? "";
  if (href === "" || href.startsWith("#")) return;
  event.preventDefault();
  const { pathname, hash } = new URL(href, `https://pages.invalid/${shown()}`);
  show(decodeURIComponent(pathname.slice(1)), decodeURIComponent(hash.slice(1)));
}

/** The keeper's page and the work list first, then the seasons from the latest back, and the intake last. */
function inReadingOrder(pages: readonly PageFile[]): readonly PageFile[] {
  const folders = [...new Set(pages.map(({ path }) => folderOf(path)))];
  const keyOf = ({ path }: PageFile): number => {
    const early = ["index.html", "worklist.html"].indexOf(path.slice(folderOf(path).length));
    if (early >= 0) return early;
    return path.endsWith("intake.html")
      ? Number.POSITIVE_INFINITY
      : 2 + folders.length - folders.indexOf(folderOf(path));
  };
  return [...pages].sort((a, b) => (keyOf(a) === keyOf(b) ? 0 : keyOf(a) - keyOf(b)));
}

function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf("/") + 1);
}

function titleOf(content: string, path: string): string {
  const title = /<title>([^<]*)<\/title>/.exec(content)?.[1] ?? path;
  return new DOMParser().parseFromString(title, "text/html").body.textContent ?? path;
}
