import { element } from "../look/element.ts";
import { stepLine } from "../own-sheets/step-line.ts";
import type { GivenFile } from "../worker/book-service.ts";
import { type BookClient, bookClient } from "./book-client.ts";
import { dropZone } from "./drop-zone.ts";
import { type OpenBook, openBook } from "./open-book.ts";

/** An input of the notebook whose value is the book that is open. */
export type BookPicker = HTMLElement & { value?: OpenBook };

const BOOK = "./book/flock.duckdb";
const LABEL = "./book/label.json";

/**
 * Opens the book that lies beside the page (the sample flock's, or the one that the page is served with), and
 * any other that the reader gives: a book's file, or sheets.
 */
export function bookPicker(): BookPicker {
  const says = element("p", { className: "quiet" });
  const steps = stepLine();
  let client: BookClient | null = null;
  const picker: BookPicker = element("div", { attributes: { "data-book": "opening" } });

  const open = async (name: () => Promise<string>, work: (client: BookClient) => Promise<void>) => {
    client?.close();
    const own = bookClient();
    client = own;
    picker.dataset.book = "opening";
    steps.start();
    try {
      await work(own);
      if (own !== client) return;
      const label = await name();
      says.textContent = `Open: ${label}.`;
      picker.value = openBook(label, own);
      picker.dataset.book = "open";
      picker.dispatchEvent(new Event("input", { bubbles: true }));
    } catch (error) {
      if (own !== client) return;
      says.textContent = (error as Error).message;
      picker.dataset.book = "refused";
    }
    steps.stop();
  };
  const give = (files: readonly GivenFile[]): void => {
    const file = files.find(({ path }) => path.endsWith(".duckdb"));
    if (file) {
      void open(
        async () => file.path,
        (own) => own.call("openFile", [file.bytes], steps.tell),
      );
      return;
    }
    void open(
      async () => `sheets of ${files.length === 1 ? files[0]!.path : `${files.length} files`}`,
      async (own) => {
        await own.call("takeSheets", [files], steps.tell);
        await own.call("analyse", [], steps.tell);
      },
    );
  };

  picker.append(
    says,
    steps.node,
    element(
      "details",
      {},
      element("summary", {}, "Open another book, or sheets"),
      dropZone(
        "Drop a book (flock.duckdb) or a folder of sheets. It is read in this page and sent nowhere.",
        give,
      ),
    ),
  );
  void open(readLabel, async (own) => own.call("openFile", [await readBook()], steps.tell));
  return picker;
}

async function readLabel(): Promise<string> {
  const { name } = (await (await fetch(LABEL)).json()) as { readonly name: string };
  return name;
}

async function readBook(): Promise<Uint8Array> {
  const answer = await fetch(BOOK);
  if (!answer.ok) throw new Error("No book lies beside this page. Open one, or sheets, below.");
  return new Uint8Array(await answer.arrayBuffer());
}
