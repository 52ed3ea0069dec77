import type { OpenBook } from "../book/open-book.ts";
import { answerView } from "../look/answer-view.ts";
import { element } from "../look/element.ts";
import { answerPlot } from "./answer-plot.ts";
import { dataDictionary } from "./data-dictionary.ts";

const FIRST_QUESTION = `SELECT group_value AS pen, animals, rate_mm_30d, lo, hi
FROM results.growth_summary
WHERE group_kind = 'pen' AND season = 'all'
ORDER BY rate_mm_30d DESC`;

/** A place to write a question, its answer, and the dictionary of what can be asked. */
export async function askBook(book: OpenBook, width: number): Promise<HTMLElement> {
  const text = element("textarea", {
    id: "question",
    value: questionOfAddress() ?? FIRST_QUESTION,
    spellcheck: false,
    attributes: { autocapitalize: "off", autocomplete: "off" },
  });
  const outcome = element("div", { attributes: { "data-answer": "none", "aria-live": "polite" } });
  const ask = async (): Promise<void> => {
    outcome.dataset.answer = "asking";
    try {
      const answer = await book.table(text.value);
      outcome.replaceChildren(
        ...[answerPlot(answer, outcome.clientWidth || width), answerView(answer, "answer")].filter(
          (part) => part !== null,
        ),
      );
      outcome.dataset.answer = "given";
    } catch (error) {
      outcome.replaceChildren(
        element(
          "pre",
          { attributes: { role: "alert" } },
          `The book could not answer: ${(error as Error).message}`,
        ),
      );
      outcome.dataset.answer = "refused";
    }
  };
  text.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !(event.ctrlKey || event.metaKey)) return;
    event.preventDefault();
    void ask();
  });
  const button = element("button", { type: "button", className: "first" }, "Ask");
  button.addEventListener("click", () => void ask());
  const insert = (name: string): void => {
    text.setRangeText(name, text.selectionStart, text.selectionEnd, "end");
    text.focus();
  };
  const made = element(
    "div",
    { className: "ask" },
    element(
      "div",
      {},
      element("p", {}, element("label", { htmlFor: text.id }, "Question in SQL"), text),
      element(
        "div",
        { className: "buttons" },
        button,
        element("span", { className: "quiet" }, "or Ctrl and Enter"),
      ),
      outcome,
    ),
    await dataDictionary(book, insert),
  );
  void ask();
  return made;
}

/** A question that another notebook put into the address. */
function questionOfAddress(): string | null {
  const asked = location.hash.slice(1);
  if (asked === "") return null;
  try {
    return decodeURIComponent(asked);
  } catch {
    return null;
  }
}
