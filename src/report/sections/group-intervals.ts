import { wordCodes } from "../../records/codes.ts";
import type { Language } from "../../records/language.ts";
import type { IntervalRow } from "../charts/interval-plot.ts";

/** A group's figure as a row of an interval plot, before words and units. */
export interface GroupFigure {
  readonly label: string;
  readonly value: number | null;
  readonly lo: number | null;
  readonly hi: number | null;
  readonly count: number;
  readonly caution: string | null;
}

/** What the order of a list of figures is worth, and who stands at its ends. */
export interface Ends {
  readonly highest: GroupFigure;
  readonly lowest: GroupFigure;
  /** Whether the limits of the two ends lie apart. */
  readonly apart: boolean;
  /** Whether every interval overlaps every other, so that the order is no evidence at all. */
  readonly allOverlap: boolean;
}

type Known = GroupFigure & { readonly value: number; readonly lo: number; readonly hi: number };

const isKnown = (figure: GroupFigure): figure is Known =>
  figure.value !== null && figure.lo !== null && figure.hi !== null;

/** The ends of a list of figures; null with fewer than two that are known. */
export function endsOf(figures: readonly GroupFigure[]): Ends | null {
  const known = figures.filter(isKnown).sort((a, b) => b.value - a.value);
  const highest = known[0];
  const lowest = known.at(-1);
  if (highest === undefined || lowest === undefined || known.length < 2) return null;
  const apart = highest.lo > lowest.hi;
  const allOverlap =
    Math.max(...known.map((figure) => figure.lo)) <= Math.min(...known.map((figure) => figure.hi));
  return { highest, lowest, apart, allOverlap };
}

/** Figures as plot rows: those that are known by value, the silent ones last, each saying why. */
export function plotRows(
  figures: readonly GroupFigure[],
  language: Language,
  fixedOrder: boolean,
): readonly IntervalRow[] {
  const rows = figures.map((figure) => ({
    label: figure.label,
    value: figure.value,
    lo: figure.lo,
    hi: figure.hi,
    note: figure.value === null ? wordCodes(figure.caution, language) : `${figure.count}`,
  }));
  return fixedOrder ? rows : rows.sort((a, b) => (b.value ?? -Infinity) - (a.value ?? -Infinity));
}
