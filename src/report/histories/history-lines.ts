import type { AnimalHistory, ClawReading, GaitReading } from "../../findings/animal-history.ts";
import { gaitScales } from "../../records/gait-scales.ts";
import { type HistoryWindow, isWithin } from "./history-window.ts";

/**
 * Lines of an animal's history as SVG path data: days across from the window's first, px down. Straight
 * strokes alone, so that the picture may be stretched to any width.
 */

/** A claw's row: how its length ran, and the trims as drops. */
export function clawLines(
  readings: readonly ClawReading[],
  window: HistoryWindow,
  yOf: (mm: number) => number,
  foot: number,
): { readonly run: string; readonly drops: string } {
  let run = "";
  let drops = "";
  let last: { day: number; mm: number } | null = null;
  for (const reading of readings) {
    const { day, before, after, trimmed } = reading;
    const shown = isWithin(day, window);
    const x = day - window.from;
    if (shown && last !== null && before !== null && last.day >= window.from) {
      run += `M${last.day - window.from} ${yOf(last.mm)}L${x} ${yOf(before)}`;
    }
    if (shown && trimmed) {
      const top = before ?? after;
      drops += top === null ? `M${x} ${foot}v-6` : `M${x} ${yOf(top)}V${after === null ? foot : yOf(after)}`;
    }
    const kept = trimmed ? after : (after ?? before);
    last = kept === null ? null : { day, mm: kept };
  }
  return { run, drops };
}

/** Bars of gait scores, higher for lamer, those that count as lame apart from the others. */
export function gaitBars(
  gaits: readonly GaitReading[],
  window: HistoryWindow,
  foot: number,
  height: number,
): { readonly sound: string; readonly lame: string } {
  let sound = "";
  let lame = "";
  for (const reading of gaits) {
    if (!isWithin(reading.day, window)) continue;
    const bar = `M${reading.day - window.from} ${foot}v-${barHeight(reading, height)}`;
    if (reading.lame) lame += bar;
    else sound += bar;
  }
  return { sound, lame };
}

function barHeight({ gait, scale }: GaitReading, height: number): number {
  const range = gaitScales[scale as keyof typeof gaitScales];
  if (gait === null || range === undefined) return 2;
  const share = (gait - range.least + 0.5) / (range.most - range.least + 0.5);
  return Math.round(share * height * 10) / 10;
}

/** Ticks on the days of some records. */
export function dayTicks(
  records: readonly { readonly day: number }[],
  window: HistoryWindow,
  foot: number,
  height: number,
): string {
  const days = new Set(records.map(({ day }) => day).filter((day) => isWithin(day, window)));
  return [...days].map((day) => `M${day - window.from} ${foot}v-${height}`).join("");
}

const STRIP = { width: 160, height: 22 } as const;

/** A small strip for a table: gait scores as bars, lesions as ticks below them. Empty without either. */
export function historyStrip(history: AnimalHistory, window: HistoryWindow, says: string): string {
  const { sound, lame } = gaitBars(history.gaits, window, 15, 14);
  const lesions = dayTicks(history.lesions, window, STRIP.height, 5);
  if (sound + lame + lesions === "") return "";
  const title = says.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll('"', "&quot;");
  return `<svg class="strip" role="img" aria-label="${title}" viewBox="0 0 ${window.to - window.from} ${STRIP.height}" width="${STRIP.width}" height="${STRIP.height}" preserveAspectRatio="none"><path class="h" d="M0 15H${window.to - window.from}"/><path class="s" d="${sound}"/><path class="b" d="${lame}"/><path class="b" d="${lesions}"/></svg>`;
}
