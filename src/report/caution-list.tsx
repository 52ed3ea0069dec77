/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import { type CautionPlace, cautionsInForce } from "./cautions.ts";
import type { SeasonPageInput } from "./season-page-input.ts";

/** The cautions in force on a page, the gravest first, each with the rows that raised it. */
export function CautionList({ input, place }: { input: SeasonPageInput; place: CautionPlace }): VNode | null {
  const inForce = cautionsInForce(input, place);
  const boxes = [inForce.filter((one) => one.grave), inForce.filter((one) => !one.grave)];
  return (
    <>
      {boxes
        .filter((cautions) => cautions.length > 0)
        .map((cautions) => (
          <aside
            class={cautions[0]!.grave ? "cautions grave" : "cautions"}
            aria-label={cautions.map(({ heading }) => heading[input.language]).join("; ")}
            key={cautions[0]!.id}
          >
            {cautions.map((caution) => (
              <div key={caution.id} data-caution={caution.id}>
                <h2>{caution.heading[input.language]}</h2>
                <p>
                  {caution.says[input.language]}
                  {caution.grave ? "" : ` ${caution.names.join(" ")}`}
                </p>
                {caution.grave && caution.names.length > 0 ? (
                  <ul>
                    {caution.names.map((name) => (
                      <li key={name}>{name}</li>
                    ))}
                  </ul>
                ) : null}
              </div>
            ))}
          </aside>
        ))}
    </>
  );
}
