/** @jsxRuntime automatic @jsxImportSource preact */
import type { Language } from "../records/language.ts";
import { Table } from "./data-table.tsx";
import { whole } from "./numbers.ts";
import { pageHtml } from "./page-shell.tsx";
import { keeperWords } from "./words/keeper.ts";
import { pageWords } from "./words/page.ts";

/** What came in, as the page shows it. */
export interface IntakePageInput {
  readonly flock: string;
  readonly language: Language;
  readonly sums: readonly {
    readonly file: string;
    readonly worksheet: string | null;
    readonly kind: string;
    readonly read: number;
    readonly taken: number;
    readonly set_aside: number;
    readonly repeats: number;
  }[];
  readonly reasons: readonly {
    readonly says: string;
    readonly advice: string;
    readonly records: number;
    readonly cells: number;
    readonly example: {
      readonly file: string;
      readonly worksheet: string | null;
      readonly row: number;
      readonly column: string | null;
      readonly value: string | null;
    };
  }[];
  readonly understood: readonly {
    readonly file: string;
    readonly worksheet: string | null;
    readonly columns: readonly {
      readonly header: string;
      readonly meaning: string | null;
      readonly unit: string | null;
      readonly sample: string;
      readonly sureness: string | null;
    }[];
  }[];
  readonly animals: number;
  readonly words: number;
  readonly remarks: number;
}

/** What was read, what was set aside and why, and how each column was understood. */
export function intakePage(input: IntakePageInput): string {
  const { language } = input;
  const words = keeperWords[language];
  const { columns } = words;
  const n = (value: number): string => whole(value, language);
  const total = (of: (sum: IntakePageInput["sums"][number]) => number): number =>
    input.sums.reduce((all, sum) => all + of(sum), 0);
  const sheetName = (one: { readonly file: string; readonly worksheet: string | null }): string =>
    one.worksheet === null ? one.file : `${one.file}, ${one.worksheet}`;
  const lists = [
    input.animals > 0 ? words.animalsToAdd(input.animals) : null,
    input.words > 0 ? words.wordsToMap(input.words) : null,
    input.remarks > 0 ? words.remarksToConfirm(input.remarks) : null,
    input.reasons.length > 0 ? words.mendFirst : null,
  ].filter((line) => line !== null);
  return pageHtml(
    words.intakeTitle(input.flock),
    language,
    { left: words.intakeTitle(input.flock), right: pageWords[language].readers.keeper },
    <>
      <header class="page">
        <p class="question">{words.intakeQuestion}</p>
        <h1>{words.intakeTitle(input.flock)}</h1>
        <nav aria-label={pageWords[language].otherPages}>
          <ul>
            <li>
              <a href="index.html">{pageWords[language].readers.keeper}</a>
            </li>
          </ul>
        </nav>
      </header>
      <main>
        <section class="answer" id="answer">
          <h2>{words.intakeHeading(n(total((sum) => sum.set_aside)), n(total((sum) => sum.read)))}</h2>
          <ul>
            {lists.map((line) => (
              <li key={line}>{line}</li>
            ))}
          </ul>
        </section>
        {input.reasons.length > 0 ? (
          <section id="reasons">
            <h2>{words.byReason}</h2>
            <Table
              titled
              table={{
                caption: words.byReason,
                columns: [
                  { name: columns.why, kind: "words" },
                  { name: columns.records, kind: "number" },
                  { name: columns.example, kind: "words" },
                  { name: columns.advice, kind: "words" },
                ],
                rows: input.reasons.map((reason) => [
                  reason.says,
                  n(reason.records > 0 ? reason.records : reason.cells),
                  `${sheetName(reason.example)}, ${columns.row} ${reason.example.row}${reason.example.column === null ? "" : `, ${reason.example.column}`}${reason.example.value === null ? "" : `: “${reason.example.value}”`}`,
                  reason.advice,
                ]),
              }}
            />
          </section>
        ) : null}
        <section id="sheets">
          <h2>{words.bySheet}</h2>
          <Table
            titled
            table={{
              caption: words.bySheet,
              columns: [
                { name: columns.sheet, kind: "words" },
                { name: columns.kind, kind: "words" },
                { name: columns.read, kind: "number" },
                { name: columns.taken, kind: "number" },
                { name: columns.setAside, kind: "number" },
                { name: columns.repeats, kind: "number" },
              ],
              rows: input.sums.map((sum) => [
                sheetName(sum),
                sum.kind,
                n(sum.read),
                n(sum.taken),
                n(sum.set_aside),
                n(sum.repeats),
              ]),
            }}
          />
        </section>
        <section id="columns">
          <h2>{words.understood}</h2>
          {input.understood.map((sheet) => (
            <details key={sheetName(sheet)}>
              <summary>{sheetName(sheet)}</summary>
              <Table
                titled
                table={{
                  caption: sheetName(sheet),
                  columns: [
                    { name: columns.column, kind: "words" },
                    { name: columns.meaning, kind: "words" },
                    { name: columns.unit, kind: "words" },
                    { name: columns.sample, kind: "words" },
                    { name: columns.sure, kind: "words" },
                  ],
                  rows: sheet.columns.map((column) => [
                    column.header,
                    column.meaning ?? words.notUnderstood,
                    column.unit ?? "",
                    column.sample,
                    column.sureness === null ? "" : (words.sure[column.sureness] ?? column.sureness),
                  ]),
                }}
              />
            </details>
          ))}
        </section>
      </main>
    </>,
  );
}
