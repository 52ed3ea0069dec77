import { type BookClient, bookClient } from "../book/book-client.ts";
import { dropZone } from "../book/drop-zone.ts";
import { element } from "../look/element.ts";
import type { GivenFile } from "../worker/book-service.ts";
import { pageViewer } from "./page-viewer.ts";
import { stepLine } from "./step-line.ts";
import { takenReport } from "./taken-report.ts";

/**
 * The keeper's way in: sheets are dropped, read, worked out and written up in the page, each stage shown as
 * soon as it is there.
 */
export function ownSheets(): HTMLElement {
  const outcome = element("div", { attributes: { "data-outcome": "waiting" } });
  const steps = stepLine();
  // started before anything is dropped: the engine is there when the files are
  let client: BookClient = bookClient();
  let busy = false;

  const give = async (files: readonly GivenFile[]): Promise<void> => {
    if (busy) {
      // the work under way blocks its worker: only ending it makes room
      client.close();
      client = bookClient();
    }
    const own = client;
    busy = true;
    outcome.replaceChildren();
    outcome.dataset.outcome = "working";
    steps.start();
    try {
      await work(own, files, outcome, steps.tell);
      outcome.dataset.outcome = "done";
    } catch (error) {
      if (own !== client) return;
      outcome.append(refusal(error as Error));
      outcome.dataset.outcome = "refused";
    }
    busy = false;
    steps.stop();
  };

  return element(
    "div",
    {},
    dropZone(
      "Drop your sheets here, or a folder of them: CSV, TSV, XLSX, JSON, as they are. A flock.toml beside them is read too.",
      (files) => void give(files),
    ),
    steps.node,
    outcome,
  );
}

async function work(
  client: BookClient,
  files: readonly GivenFile[],
  outcome: HTMLElement,
  tell: (step: string) => void,
): Promise<void> {
  if (!files.some(({ path }) => !path.endsWith("flock.toml")))
    throw new Error(
      "No sheet was found in what you gave. Sheets end in .csv, .tsv, .xlsx, .json, .ndjson or .gz.",
    );
  const taken = await client.call("takeSheets", [files], tell);
  outcome.append(takenReport(taken));
  const first = element("ul", {});
  const heading = element("h2", { id: "first-findings" }, "Found so far, over all seasons");
  const findings = element(
    "section",
    { hidden: true, attributes: { "aria-labelledby": heading.id } },
    heading,
    first,
  );
  outcome.prepend(findings);
  await client.call("analyse", [], tell, (says) => {
    first.append(element("li", {}, says));
    findings.hidden = false;
  });
  const pages = await client.call("writePages", [], tell);
  findings.remove();
  outcome.prepend(pageViewer(pages, () => client.call("zip", [pages])));
}

function refusal(error: Error): HTMLElement {
  return element(
    "div",
    { className: "note", attributes: { role: "alert" } },
    ...error.message.split("\n").map((line) => element("p", {}, line)),
  );
}
