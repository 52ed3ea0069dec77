import { readCodes, wordCode } from "../../records/codes.ts";
import type { Language } from "../../records/language.ts";
import type { IntervalRow } from "../charts/interval-plot.ts";
import { whole } from "../numbers.ts";
import { capital } from "../words/count.ts";
import { type EndInWords, type GroupKind, groupWords, isUnknownGroup } from "../words/groups.ts";

/** A group's figure in the reader's units, before words. */
export interface GroupFigure {
  readonly kind: string;
  readonly group: string;
  readonly value: number | null;
  readonly lo: number | null;
  readonly hi: number | null;
  readonly count: number;
  readonly caution: string | null;
  /** The figure with its limits in words. */
  readonly says: string;
}

/** Who stands at the ends of a list of figures, and what its order is worth. */
export interface Ends {
  readonly highest: Known;
  readonly lowest: Known;
  /** Whether the limits of the two ends lie apart. */
  readonly apart: boolean;
  /** Whether every interval overlaps every other, so that the order is no evidence at all. */
  readonly allOverlap: boolean;
}

type Known = GroupFigure & { readonly value: number; readonly lo: number; readonly hi: number };

const isKnown = (figure: GroupFigure): figure is Known =>
  figure.value !== null && figure.lo !== null && figure.hi !== null;

/** The ends of a list of figures; null with fewer than two that are known. The group 'unknown' is no end. */
export function endsOf(figures: readonly GroupFigure[]): Ends | null {
  const known = figures.filter(isKnown).filter((figure) => !isUnknownGroup(figure.group));
  known.sort((a, b) => b.value - a.value);
  const highest = known[0];
  const lowest = known.at(-1);
  if (highest === undefined || lowest === undefined || known.length < 2) return null;
  return { highest, lowest, apart: highest.lo > lowest.hi, allOverlap: allOverlap(known) };
}

/** A group of a kind with its figure, for a sentence. */
export function endInWords(
  kind: GroupKind,
  { group, says, count }: GroupFigure,
  language: Language,
): EndInWords {
  return { place: groupWords[language].place(kind, group), says, animals: count };
}

/** Whether the intervals have a point in common, so that their order is no evidence. */
export function allOverlap(figures: readonly { readonly lo: number; readonly hi: number }[]): boolean {
  return Math.max(...figures.map(({ lo }) => lo)) <= Math.min(...figures.map(({ hi }) => hi));
}

/** Kinds whose order never changes between seasons; the others stand by their value. */
const FIXED_ORDER: Readonly<Record<string, readonly string[]>> = {
  foot: ["LF", "RF", "LH", "RH"],
  claw: ["inner", "outer"],
  age_band: ["kid", "young", "yearling", "adult", "older", "unknown"],
};

/** Figures in the order in which they are shown: what is not known last, the silent ones before it. */
export function inOrder(figures: readonly GroupFigure[]): readonly GroupFigure[] {
  const place = ({ kind, group, value }: GroupFigure): number => {
    const fixed = FIXED_ORDER[kind];
    return fixed ? fixed.indexOf(group) : isUnknownGroup(group) ? Infinity : value === null ? 1e9 : -value;
  };
  return [...figures].sort((a, b) => place(a) - place(b) || a.group.localeCompare(b.group));
}

/** Figures as plot rows, each saying what it rests on or why it is empty. */
export function plotRows(figures: readonly GroupFigure[], language: Language): readonly IntervalRow[] {
  return inOrder(figures).map((figure) => {
    const label = groupWords[language].label(figure.kind, figure.group);
    const why = readCodes(figure.caution)[0];
    const reason = why ? wordCode(why, language) : "";
    return {
      label,
      value: figure.value,
      lo: figure.lo,
      hi: figure.hi,
      count: whole(figure.count, language),
      says: `${label}: ${figure.value === null ? reason : figure.says}`,
      reason: capital(reason),
    };
  });
}
