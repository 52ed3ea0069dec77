import { code } from "../records/codes.ts";
import { gaitScaleIds, gaitScales, parseGaitScale } from "../records/gait-scales.ts";
import type { Column } from "../records/kind.ts";
import type { KindId } from "../records/kinds.ts";
import { readNumber } from "./read-number.ts";
import type { ColumnUnderstanding } from "./reading.ts";
import type { UnderstandContext } from "./understand-context.ts";

export interface SettledScale {
  readonly scale: string | null;
  readonly from: ColumnUnderstanding["unitFrom"];
}

/**
 * The scale of a sheet's gait scores: a column of its own, the header, a title, the settings, or the scores
 * where they fit one scale only. A sheet of gait scores without any is a question; on a sheet that mainly
 * holds something else only the scores are set aside.
 */
export function settleScale(
  columns: readonly {
    readonly kind: KindId;
    readonly column: Column;
    readonly header: string;
    readonly index: number;
  }[],
  sample: (index: number) => ReadonlySet<string>,
  titles: readonly string[],
  { settings }: UnderstandContext,
  mainKind: KindId,
): SettledScale | { readonly reason: string; readonly column: string; readonly value: string | null } {
  const gait = columns.find(({ kind, column }) => kind === "gaits" && column.name === "gait");
  if (gait === undefined) return { scale: null, from: null };
  const inHeader = parseGaitScale(gait.header);
  if (inHeader !== null) return { scale: inHeader, from: "header" };
  const title = titles.find((text) => /scale|escala|score|gait/i.test(text) && parseGaitScale(text) !== null);
  if (title !== undefined) return { scale: parseGaitScale(title), from: "header" };
  if (settings.gait_scale !== undefined) return { scale: settings.gait_scale, from: "settings" };
  const scores = [...sample(gait.index)].flatMap((text) => {
    const read = readNumber(text, null);
    return "trouble" in read ? [] : [read.value.value];
  });
  const fit = gaitScaleIds.filter((id) =>
    scores.every((score) => score >= gaitScales[id].least && score <= gaitScales[id].most),
  );
  if (fit.length === 1 && scores.length > 0) return { scale: fit[0]!, from: "size" };
  const named = columns.some(({ column }) => column.name === "gait_scale");
  if (named || mainKind !== "gaits") return { scale: null, from: null };
  return { reason: code("scale_not_known"), column: gait.header, value: [...sample(gait.index)][0] ?? null };
}
