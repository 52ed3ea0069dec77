/** @jsxRuntime automatic @jsxImportSource preact */

import type { Column } from "../records/kind.ts";
import { kindIds, kinds } from "../records/kinds.ts";
import type { InEveryLanguage, Language } from "../records/language.ts";
import { quantities } from "../records/units.ts";
import { Table } from "./data-table.tsx";
import { pageHtml } from "./page-shell.tsx";

const words: Readonly<
  Record<"title" | "intro" | "column" | "meaning" | "holds" | "alsoCalled" | "needed", InEveryLanguage>
> = {
  title: { en: "The sheets and their columns", es: "Las hojas y sus columnas" },
  intro: {
    en: "Every sheet but trims is optional, and so is every column not marked as needed. A column may be called by its own name or any of the others listed; units may stand in the header.",
    es: "Todas las hojas menos la de recortes son opcionales, y también cada columna que no diga necesaria. Una columna puede llamarse por su nombre o por los otros que se listan; la unidad puede ir en el encabezado.",
  },
  column: { en: "Column", es: "Columna" },
  meaning: { en: "Meaning", es: "Significado" },
  holds: { en: "Holds", es: "Contiene" },
  alsoCalled: { en: "May be called", es: "Puede llamarse" },
  needed: { en: "needed", es: "necesaria" },
};

/** What each sheet holds, column by column: the page beside the template sheets. */
export function dictionaryPage(language: Language): string {
  return pageHtml(
    words.title[language],
    language,
    { left: words.title[language], right: "" },
    <>
      <header class="page">
        <h1>{words.title[language]}</h1>
        <p id="answer">{words.intro[language]}</p>
      </header>
      <main>
        {kindIds.map((id) => (
          <section key={id} id={id}>
            <h2>
              {id}: {kinds[id].meaning[language]}
            </h2>
            <Table
              table={{
                caption: id,
                columns: [words.column, words.meaning, words.holds, words.alsoCalled].map((name) => ({
                  name: name[language],
                  kind: "words" as const,
                })),
                rows: (kinds[id].columns as readonly Column[]).map((column) => [
                  `${column.name}${column.required ? ` (${words.needed[language]})` : ""}`,
                  column.meaning[language],
                  holds(column),
                  column.headers[language].slice(0, 5).join(", "),
                ]),
              }}
            />
          </section>
        ))}
      </main>
    </>,
  );
}

function holds(column: Column): string {
  if (column.choices) return column.choices.map((choice) => choice.value).join(", ");
  if (column.quantity) return quantities[column.quantity].units.map((unit) => unit.spellings[0]).join(", ");
  return column.type;
}
