import { element } from "../look/element.ts";
import type { GivenFile } from "../worker/book-service.ts";
import { droppedFiles, pickedFiles } from "./given-files.ts";

/** A place to drop files or a folder on, with two pickers for who cannot drop. */
export function dropZone(says: string, give: (files: readonly GivenFile[]) => void): HTMLElement {
  const picker = (words: string, folder: boolean): readonly [HTMLElement, HTMLInputElement] => {
    const input = element("input", {
      type: "file",
      multiple: true,
      className: "heard",
      tabIndex: -1,
      webkitdirectory: folder,
      attributes: { "aria-label": words },
    });
    input.addEventListener("change", async () => {
      const files = await pickedFiles(input.files);
      input.value = "";
      give(files);
    });
    const button = element("button", { type: "button", className: folder ? "" : "first" }, words);
    button.addEventListener("click", () => input.click());
    return [button, input];
  };
  const zone = element(
    "div",
    { className: "drop" },
    element("p", {}, says),
    element(
      "div",
      { className: "buttons" },
      ...picker("Choose files", false),
      ...picker("Choose a folder", true),
    ),
  );
  zone.addEventListener("dragover", (event) => {
    event.preventDefault();
    zone.classList.add("over");
  });
  zone.addEventListener("dragleave", () => zone.classList.remove("over"));
  zone.addEventListener("drop", async (event) => {
    event.preventDefault();
    zone.classList.remove("over");
    if (event.dataTransfer) give(await droppedFiles(event.dataTransfer));
  });
  return zone;
}
