/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import { type CautionPlace, cautionsInForce } from "./cautions.ts";
import type { SeasonPageInput } from "./season-page-input.ts";

/** The cautions in force on a page, the gravest first, each with the rows that raised it. */
export function CautionList({ input, place }: { input: SeasonPageInput; place: CautionPlace }): VNode {
  return (
    <>
      {cautionsInForce(input, place).map((caution) => (
        <aside class="caution" role="note" key={caution.rank}>
          <h2>{caution.heading[input.language]}</h2>
          <p>{caution.says[input.language]}</p>
          {caution.names ? (
            <ul>
              {caution.names(input).map((name) => (
                <li key={name}>{name}</li>
              ))}
            </ul>
          ) : null}
        </aside>
      ))}
    </>
  );
}
