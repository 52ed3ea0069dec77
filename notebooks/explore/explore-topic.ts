import type { Language } from "../../src/records/language.ts";
import { safetyCautions } from "../../src/report/cautions.ts";
import type { OpenBook } from "../book/open-book.ts";
import { element } from "../look/element.ts";
import type { Choices, Topic } from "./choices.ts";
import { conditionsQuestions } from "./conditions-questions.ts";
import { growthQuestions } from "./growth-questions.ts";
import { lamenessQuestions } from "./lameness-questions.ts";
import { linesQuestions } from "./lines-questions.ts";
import type { Question } from "./question.ts";
import type { Reader } from "./reader.ts";
import { retrimQuestions } from "./retrim-questions.ts";
import { showQuestion } from "./show-question.ts";

const questionsOf: Readonly<Record<Topic, (choices: Choices, reader: Reader) => readonly Question[]>> = {
  growth: growthQuestions,
  lameness: lamenessQuestions,
  retrim: retrimQuestions,
  conditions: conditionsQuestions,
  lines: linesQuestions,
};

/** Whether a figure of copper stands in the topic. */
function asksOfCopper({ topic, exposure }: Choices): boolean {
  return (topic === "growth" || topic === "conditions") && exposure.includes("copper");
}

function copperCaution(language: Language): HTMLElement {
  const { heading, says } = safetyCautions.copper;
  return element(
    "div",
    { className: "caution", attributes: { role: "note" } },
    element("h2", {}, heading[language]),
    element("p", {}, says[language]),
  );
}

/** Every figure of the chosen topic, asked of the book. */
export async function exploreTopic(book: OpenBook, choices: Choices, width: number): Promise<HTMLElement> {
  const reader = choices.reader;
  const shown: HTMLElement[] = [];
  for (const question of questionsOf[choices.topic](choices, reader))
    shown.push(await showQuestion(book, question, width, reader.words));
  if (asksOfCopper(choices)) shown.unshift(copperCaution(reader.language));
  return element("div", { attributes: { "data-topic": choices.topic, lang: reader.language } }, ...shown);
}
