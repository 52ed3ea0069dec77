/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import type { Language } from "../records/language.ts";
import type { Section } from "./section.ts";
import { pageWords } from "./words/page.ts";

/** A question that the records cannot answer. */
export function isSilent(section: Section): boolean {
  return (
    section.answer === undefined &&
    section.chart === undefined &&
    section.small === undefined &&
    section.table === undefined &&
    section.paste === undefined &&
    section.text === undefined
  );
}

/** The answers of a page in a sentence each, strongest evidence first, and below them what could not be told. */
export function ShortAnswer({
  sections,
  language,
}: {
  readonly sections: readonly Section[];
  readonly language: Language;
}): VNode {
  const words = pageWords[language];
  const answered = sections
    .filter((section) => section.answer !== undefined)
    .sort((a, b) => b.answer!.strength - a.answer!.strength);
  const silent = sections.filter(isSilent);
  return (
    <>
      <section class="answer" id="answer" aria-labelledby="answer-heading">
        <h2 id="answer-heading">{words.shortAnswer}</h2>
        {answered.length === 0 ? (
          <p>{words.nothingYet}</p>
        ) : (
          <ul>
            {answered.map((section) => (
              <li key={section.id}>
                <a href={`#${section.id}`}>{section.answer!.sentence}</a>
              </li>
            ))}
          </ul>
        )}
      </section>
      {silent.length > 0 ? (
        <section id="cannot-tell" aria-labelledby="cannot-tell-heading">
          <h2 id="cannot-tell-heading">{words.cannotTell}</h2>
          <ul>
            {silent.map((section) => (
              <li key={section.id}>
                {section.question} {section.heading}
                {section.rests === "" ? "." : ` (${section.rests}).`}
              </li>
            ))}
          </ul>
        </section>
      ) : null}
    </>
  );
}
