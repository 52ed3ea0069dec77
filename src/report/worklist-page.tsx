/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import type { NextCheckRow } from "../findings/next-check.ts";
import { readCodes, wordCode, wordCodes } from "../records/codes.ts";
import type { Language } from "../records/language.ts";
import { animalHref } from "./animal-anchor.ts";
import { CautionList } from "./caution-list.tsx";
import { dayInWords, dayShort } from "./dates.ts";
import { length } from "./length-units.ts";
import { PageFoot } from "./page-foot.tsx";
import { pageHtml } from "./page-shell.tsx";
import type { SeasonPageInput } from "./season-page-input.ts";
import { flockLameness } from "./sections/lameness.ts";
import { lesionName } from "./sections/lesions.ts";
import { columnName } from "./words/columns.ts";
import { capital } from "./words/count.ts";
import { feetWords } from "./words/feet.ts";
import { groupWords } from "./words/groups.ts";
import { keeperWords } from "./words/keeper.ts";
import { pageWords } from "./words/page.ts";

/**
 * The list for the barn: pen by pen, urgent ones first, with room to write. In print a pen starts a page, with
 * its name as the page's head and the scales at its foot; small pens follow each other, none of them cut. Rows
 * are high and tags large.
 */
export function worklistPage(input: SeasonPageInput, checks: readonly NextCheckRow[]): string {
  const { language, flock, today } = input;
  const words = pageWords[language];
  const keeper = keeperWords[language];
  const title = keeper.worklistTitle(flock.name, dayInWords(today, language));
  return pageHtml(
    title,
    language,
    { left: title, right: keeper.worklist },
    <>
      <header class="page wide">
        <CautionList input={input} place="worklist" />
        <p class="question">{keeper.worklistQuestion}</p>
        <h1>{title}</h1>
        <p>{keeper.worklistIntro}</p>
        <p>
          <strong>{keeper.bring}:</strong> {keeper.bringWhat}.
        </p>
        <p>
          <strong>{keeper.lookFor}:</strong> {keeper.lookForWhat}.
        </p>
        <nav aria-label={words.otherPages}>
          <ul>
            <li>
              <a href="index.html">{words.readers.keeper}</a>
            </li>
            <li>
              <a href="worklist.csv">worklist.csv</a>
            </li>
          </ul>
        </nav>
      </header>
      <main class="wide" id="answer">
        {tablesOf(penOrder(checks)).map((pens, i) => (
          <section
            class={i > 0 && !isSmall(pens[0]!) ? "pen" : undefined}
            key={pens[0]![0]}
            aria-label={pens.map(([pen]) => penName(input, pen)).join(", ")}
          >
            <PenTable input={input} pens={pens} />
          </section>
        ))}
        {checks.length === 0 ? <p>{keeper.worklistNone}.</p> : null}
      </main>
      <PageFoot input={input} />
    </>,
  );
}

function penName({ language }: SeasonPageInput, pen: string): string {
  return pen === "" ? groupWords[language].unknownPen : pen;
}

/** A pen's name and its goats on the list. */
type Pen = readonly [string, readonly NextCheckRow[]];

/** Goats up to which a pen gets no page of its own: a third of a page. */
const SMALL_PEN = 5;

const isSmall = ([, rows]: Pen): boolean => rows.length <= SMALL_PEN;

/** Pens as they stand in tables: each by itself, small ones that follow each other together. */
function tablesOf(pens: readonly Pen[]): readonly (readonly Pen[])[] {
  const tables: Pen[][] = [];
  for (const pen of pens) {
    const before = tables.at(-1);
    if (before && isSmall(pen) && isSmall(before[0]!)) before.push(pen);
    else tables.push([pen]);
  }
  return tables;
}

/** Pens in the order in which their first goat is looked at. */
function penOrder(rows: readonly NextCheckRow[]): readonly Pen[] {
  const pens = new Map<string, NextCheckRow[]>();
  for (const row of [...rows].sort((a, b) => a.look_order - b.look_order)) {
    const members = pens.get(row.pen ?? "");
    if (members) members.push(row);
    else pens.set(row.pen ?? "", [row]);
  }
  return [...pens];
}

function PenTable({ input, pens }: { input: SeasonPageInput; pens: readonly Pen[] }): VNode {
  const { language } = input;
  const keeper = keeperWords[language];
  const scale = flockLameness(input);
  const blanks = Object.values(keeper.blankColumns);
  const heads = [
    columnName("animal", language),
    keeper.order,
    columnName("reason", language),
    columnName("checkBy", language),
  ];
  const wide = heads.length + blanks.length;
  const penHead = (scope: "colgroup" | "rowgroup", [pen, rows]: Pen): VNode => (
    <tr>
      <th class="pen" colSpan={wide} scope={scope}>
        {keeper.penHead(penName(input, pen), rows.length)}
      </th>
    </tr>
  );
  const isOwnPage = !isSmall(pens[0]!);
  return (
    <table class="barn">
      <colgroup>
        {[...heads, ...blanks].map((name, i) => (
          <col key={name} class={`c${i + 1}`} />
        ))}
      </colgroup>
      <thead>
        {isOwnPage ? penHead("colgroup", pens[0]!) : null}
        <tr class="names">
          {heads.map((name) => (
            <th scope="col" key={name}>
              {name}
            </th>
          ))}
          {blanks.map((name) => (
            <th scope="col" class="blank" key={name}>
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tfoot>
        <tr>
          <td colSpan={wide}>
            {scale ? `${keeper.scaleFoot(scale.gait_scale, scale.lame_from)} ` : ""}
            {keeper.overgrowthFoot} {keeper.orderFoot}
          </td>
        </tr>
      </tfoot>
      {pens.map((pen) => (
        <tbody key={pen[0]} class={isOwnPage ? undefined : "whole"}>
          {isOwnPage ? null : penHead("rowgroup", pen)}
          {pen[1].map((row) => (
            <GoatRow key={row.animal} input={input} row={row} heads={heads} />
          ))}
        </tbody>
      ))}
    </table>
  );
}

function GoatRow({
  input,
  row,
  heads,
}: {
  input: SeasonPageInput;
  row: NextCheckRow;
  heads: readonly string[];
}): VNode {
  const { language, season, animalPages } = input;
  const href = animalHref(animalPages, row.animal);
  const blanks = Object.keys(keeperWords[language].blankColumns);
  return (
    <tr>
      <th scope="row" class="tag">
        {href === null ? row.animal : <a href={`${season.id}/${href}`}>{row.animal}</a>}
      </th>
      <td data-name={heads[1]}>
        {row.look_order}, {row.trim_order}
      </td>
      <td>
        {capital(feetWords[language].urgency[row.urgency] ?? row.urgency)}:{" "}
        {reasonInWords(row.reason, language)}. {longestClaw(input, row)}
        {row.caution === null ? null : <strong>{capital(wordCodes(row.caution, language))}</strong>}
      </td>
      <td data-name={heads[3]}>{dayShort(row.check_by, language)}</td>
      {blanks.map((name) => (
        <td class="blank" key={name} />
      ))}
    </tr>
  );
}

/** The reasons of a row; lesions that are not yet healed share one phrase. */
function reasonInWords(reason: string | null, language: Language): string {
  const codes = readCodes(reason);
  const sores = codes.filter(({ id }) => id === "sore_now");
  const named = sores.map(({ args }) => lesionName(args[0] ?? "", language)).join(", ");
  return codes
    .flatMap((one) =>
      one.id !== "sore_now"
        ? [wordCode(one, language)]
        : one === sores[0]
          ? [keeperWords[language].notYetHealed(named, sores.length)]
          : [],
    )
    .join("; ");
}

/** Which claw is expected to be longest on the check day, and how long. */
function longestClaw({ language, flock }: SeasonPageInput, row: NextCheckRow): string {
  if (row.expected_overhang_mm === null) return "";
  const { label } = groupWords[language];
  const claw = [
    row.worst_foot ? label("foot", row.worst_foot) : "",
    row.worst_claw ? label("claw", row.worst_claw) : "",
  ];
  return keeperWords[language].longestClaw(
    length(row.expected_overhang_mm, flock.unit, language),
    claw.filter((part) => part !== "").join(" "),
  );
}
