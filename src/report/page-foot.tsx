/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import type { SeasonPageInput } from "./season-page-input.ts";
import { pageWords } from "./words/page.ts";

/** How months and limits are meant, and what made the page. */
export function PageFoot({ input }: { input: SeasonPageInput }): VNode {
  const words = pageWords[input.language];
  return (
    <footer class="page">
      <p>
        {words.monthFoot} {words.associationFoot}
        {input.flock.seasonsAssumed ? ` ${words.seasonsAssumed}` : ""}
      </p>
      <p>
        {words.madeBy} {input.version}.
      </p>
    </footer>
  );
}
