/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import type { NextCheckRow } from "../findings/next-check.ts";
import { wordCodes } from "../records/codes.ts";
import { CautionList } from "./caution-list.tsx";
import { dayInWords } from "./dates.ts";
import { length } from "./length-units.ts";
import { pageHtml } from "./page-shell.tsx";
import type { SeasonPageInput } from "./season-page-input.ts";
import { mainScale } from "./sections/lameness.ts";
import { findingWords } from "./words/findings.ts";
import { keeperWords } from "./words/keeper.ts";
import { pageWords } from "./words/page.ts";

/** The list for the barn: pen by pen, urgent ones first, with room to write. Rows are high and tags large in print. */
export function worklistPage(input: SeasonPageInput, checks: readonly NextCheckRow[]): string {
  const { language, flock, today, findings } = input;
  const words = pageWords[language];
  const keeper = keeperWords[language];
  const scale = mainScale(findings.lameness.filter((row) => row.group_kind === "flock"));
  const title = keeper.worklistTitle(flock.name, dayInWords(today, language));
  const listed = checks.filter((row) => row.urgency !== "routine");
  return pageHtml(
    title,
    language,
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
      </header>
      <main class="wide" id="answer">
        {penOrder(listed).map(([pen, rows]) => (
          <section class="pen" key={pen} aria-label={pen}>
            <PenTable input={input} pen={pen === "" ? words.unknownPen : pen} rows={rows} />
            <p class="rests">
              {scale ? `${keeper.scaleFoot(scale.gait_scale)} ` : ""}
              {keeper.overgrowthFoot} {keeper.orderFoot}
            </p>
          </section>
        ))}
        {listed.length === 0 ? <p>{findingWords[language].checkHeading(0, 0)}.</p> : null}
      </main>
      <footer class="page wide">
        <p>
          {words.pageOf} {input.version}, {flock.name}
        </p>
      </footer>
    </>,
  );
}

/** Pens in the order in which their first goat is looked at. */
function penOrder(rows: readonly NextCheckRow[]): readonly (readonly [string, readonly NextCheckRow[]])[] {
  const pens = new Map<string, NextCheckRow[]>();
  for (const row of [...rows].sort((a, b) => a.look_order - b.look_order)) {
    const members = pens.get(row.pen ?? "");
    if (members) members.push(row);
    else pens.set(row.pen ?? "", [row]);
  }
  return [...pens];
}

function PenTable({
  input,
  pen,
  rows,
}: {
  input: SeasonPageInput;
  pen: string;
  rows: readonly NextCheckRow[];
}): VNode {
  const { language, flock } = input;
  const { columns, urgency, groupValue } = findingWords[language];
  const keeper = keeperWords[language];
  return (
    <table class="barn">
      <caption>{keeper.penHead(pen, rows.length)}</caption>
      <thead>
        <tr>
          <th scope="col">{columns.animal}</th>
          <th scope="col">{columns.reason}</th>
          <th scope="col">{columns.checkBy}</th>
          <th scope="col">{columns.expected}</th>
          {keeper.blankColumns.map((name) => (
            <th scope="col" class="blank" key={name}>
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.animal}>
            <th scope="row" class="tag">
              {row.animal}
            </th>
            <td>
              {urgency[row.urgency] ?? row.urgency}: {wordCodes(row.reason, language)}
              {row.caution === null ? null : <strong>. {wordCodes(row.caution, language)}</strong>}
            </td>
            <td>{dayInWords(row.check_by, language)}</td>
            <td>
              {row.expected_overhang_mm === null
                ? ""
                : `${length(row.expected_overhang_mm, flock.unit, language)} ${groupValue("foot", row.worst_foot ?? "")} ${groupValue("claw", row.worst_claw ?? "")}`}
            </td>
            {keeper.blankColumns.map((name) => (
              <td class="blank" key={name} />
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
