/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import type { AnimalHistory, ClawHistory } from "../../findings/animal-history.ts";
import { readCodes, wordCodes } from "../../records/codes.ts";
import { animalAnchor } from "../animal-anchor.ts";
import { dayInWords, dayShort, monthInWords } from "../dates.ts";
import { length, ratePerMonth } from "../length-units.ts";
import { chanceInWords } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { lesionName } from "../sections/lesions.ts";
import { animalsWords } from "../words/animals.ts";
import { capital } from "../words/count.ts";
import { groupWords } from "../words/groups.ts";
import { clawLines, dayTicks, gaitBars } from "./history-lines.ts";
import { type HistoryWindow, isWithin } from "./history-window.ts";

export interface AnimalPanelProps {
  readonly input: SeasonPageInput;
  readonly history: AnimalHistory;
  readonly window: HistoryWindow;
  readonly measure: "overhang" | "toe";
}

/** One animal: its claws as rows over time, its gait below them, findings and treatments as marks with words. */
export function AnimalPanel(props: AnimalPanelProps): VNode {
  const { input, history } = props;
  return (
    <article class="goat" id={animalAnchor(history.animal)}>
      <h2>{history.animal}</h2>
      <p>{whoItIs(props)}</p>
      <Picture {...props} />
      {[growthSentence(props), checkSentence(input, history.animal), eventsSentence(props)]
        .filter((said) => said !== "")
        .map((said) => (
          <p key={said}>{said}</p>
        ))}
    </article>
  );
}

const ROW = 22;
const GAIT = 34;
const MARKS = 18;
/** Rows hold at least this many times the retrim limit. */
const HEADROOM = 1.5;

function Picture({ input, history, window, measure }: AnimalPanelProps): VNode {
  const { language } = input;
  const words = animalsWords[language];
  const claws = history.claws.filter((claw) => claw.readings.some(({ day }) => isWithin(day, window)));
  const days = window.to - window.from;
  const clawsHeight = claws.length * ROW;
  const height = clawsHeight + GAIT + 2 * MARKS;
  const gaits = history.gaits.filter(({ day }) => isWithin(day, window));
  const visits = new Set(
    claws.flatMap(({ readings }) => readings.map(({ day }) => day)).filter((day) => isWithin(day, window)),
  );
  const says = words.panelSays(
    claws.length,
    visits.size,
    gaits.length,
    gaits.filter(({ lame }) => lame).length,
  );
  return (
    <>
      <div class="rows">
        <div>
          {claws.map((claw) => (
            <span key={claw.foot + claw.claw}>{clawName(claw, input)}</span>
          ))}
          <span class="gait">{words.gait}</span>
          <span class="mark">{words.lesions}</span>
          <span class="mark">{words.treatments}</span>
        </div>
        <div class="lines">
          <svg
            role="img"
            aria-label={`${history.animal}: ${says}`}
            viewBox={`0 0 ${days} ${height}`}
            preserveAspectRatio="none"
            dangerouslySetInnerHTML={{
              __html:
                background(input, window, height) +
                clawPaths(input, claws, window, measure) +
                lowerStrips(history, window, clawsHeight),
            }}
          />
        </div>
      </div>
      <div class="ends">
        <span>{dayShort(window.from, language, true)}</span>
        <span>{dayShort(window.to, language, true)}</span>
      </div>
    </>
  );
}

/** This season shaded, and a hairline where each season begins. */
function background({ season, seasons }: SeasonPageInput, window: HistoryWindow, height: number): string {
  const from = Math.max(season.from, window.from) - window.from;
  const to = Math.min(season.to, window.to) - window.from;
  const starts = seasons
    .filter((one) => isWithin(one.from, window))
    .map((one) => `M${one.from - window.from} 0V${height}`);
  return `<rect class="w" x="${from}" width="${Math.max(0, to - from)}" height="${height}"/>${path("h", starts.join(""))}`;
}

/** All claws' rows: target and limit as hairlines, lengths as lines, trims as drops. */
function clawPaths(
  { flock }: SeasonPageInput,
  claws: readonly ClawHistory[],
  window: HistoryWindow,
  measure: "overhang" | "toe",
): string {
  const lengths = claws.flatMap(({ readings }) =>
    readings
      .filter(({ day }) => isWithin(day, window))
      .flatMap(({ before, after }) => [before, after].filter((mm) => mm !== null)),
  );
  const isOverhang = measure === "overhang";
  const least = isOverhang ? Math.min(0, ...lengths) : Math.min(...lengths);
  const most = isOverhang ? Math.max(HEADROOM * flock.retrimAtMm, ...lengths) : Math.max(...lengths);
  const days = window.to - window.from;
  let target = "";
  let limit = "";
  let run = "";
  let drops = "";
  claws.forEach((claw, row) => {
    const foot = (row + 1) * ROW - 2;
    const yOf = (mm: number): number =>
      Math.round((foot - ((mm - least) / Math.max(1e-9, most - least)) * (ROW - 4)) * 10) / 10;
    if (isOverhang) {
      target += `M0 ${yOf(flock.trimToMm)}H${days}`;
      limit += `M0 ${yOf(flock.retrimAtMm)}H${days}`;
    }
    const lines = clawLines(claw.readings, window, yOf, foot);
    run += lines.run;
    drops += lines.drops;
  });
  return path("h", target) + path("d", limit) + path("l", run) + path("t", drops);
}

function lowerStrips(history: AnimalHistory, window: HistoryWindow, top: number): string {
  const foot = top + GAIT - 2;
  const { sound, lame } = gaitBars(history.gaits, window, foot, GAIT - 6);
  const days = window.to - window.from;
  return (
    path("h", `M0 ${foot}H${days}`) +
    path("s", sound) +
    path("b", lame) +
    path("b", dayTicks(history.lesions, window, top + GAIT + MARKS - 3, MARKS - 6)) +
    path("b", dayTicks(history.treatments, window, top + GAIT + 2 * MARKS - 3, MARKS - 6))
  );
}

function path(look: string, d: string): string {
  return d === "" ? "" : `<path class="${look}" d="${d}"/>`;
}

function clawName({ foot, claw }: ClawHistory, { language }: SeasonPageInput): string {
  const { label } = groupWords[language];
  if (foot === "") return animalsWords[language].wholeAnimal;
  return `${label("foot", foot)}${claw === "" ? "" : ` ${label("claw", claw)}`}`;
}

function whoItIs({ input, history, window }: AnimalPanelProps): string {
  const { language } = input;
  const words = animalsWords[language];
  const pen = history.pens.find(({ from, to }) => from <= window.to && window.to < to)?.pen;
  const { bornEarliest, bornLatest } = history;
  const born =
    bornEarliest === null || bornLatest === null
      ? ""
      : words.born(
          bornEarliest === bornLatest
            ? monthInWords(bornEarliest, language)
            : `${monthInWords(bornEarliest, language)} – ${monthInWords(bornLatest, language)}`,
        );
  return [
    pen ?? words.notPresent,
    history.sex === null ? "" : (words.sex[history.sex] ?? history.sex),
    born,
    history.line === null || history.line === "unknown" ? "" : words.line(history.line),
  ]
    .filter((part) => part !== "")
    .join(" · ");
}

function growthSentence({ input, history }: AnimalPanelProps): string {
  const row = input.findings.growthAnimal.find((one) => one.animal === history.animal);
  const own = row?.rate_mm_30d ?? null;
  const modelled = row?.model_rate_mm_30d ?? null;
  if (!row || (modelled ?? own) === null) return "";
  const estimate =
    modelled === null
      ? { value: own!, lo: row.lo, hi: row.hi }
      : { value: modelled, lo: row.model_lo, hi: row.model_hi };
  if (estimate.lo === null) return "";
  const { language, flock } = input;
  return animalsWords[language].growth(ratePerMonth(estimate, flock.unit, language), row.intervals);
}

function checkSentence(input: SeasonPageInput, animal: string): string {
  const { language, flock, season } = input;
  const row = season.isCurrent ? input.findings.nextCheck.find((one) => one.animal === animal) : undefined;
  if (!row) return "";
  const words = animalsWords[language];
  const { label } = groupWords[language];
  const claw = [
    row.worst_foot ? label("foot", row.worst_foot) : "",
    row.worst_claw ? label("claw", row.worst_claw) : "",
  ];
  const check = words.check(dayInWords(row.check_by, language), wordCodes(row.reason, language));
  const caution = row.caution === null ? "" : ` ${capital(wordCodes(row.caution, language))}.`;
  if (row.expected_overhang_mm === null) return check + caution;
  const chance = row.p_over_limit_on_check_by;
  const saysChance = readCodes(row.reason).some(({ id }) => id === "long_expected");
  const expected = words.expected(
    length(row.expected_overhang_mm, flock.unit, language),
    claw.filter((part) => part !== "").join(" "),
    chance === null || saysChance ? "" : chanceInWords(chance, language),
  );
  return `${check} ${expected}${caution}`;
}

/** Days of which findings and treatments are told in words. */
const MOST_DAYS = 6;

/** The latest findings and treatments in words, day by day. */
function eventsSentence({ input, history, window }: AnimalPanelProps): string {
  const { language } = input;
  const words = animalsWords[language];
  const { label } = groupWords[language];
  const at = (foot: string | null): string =>
    foot === null || foot === "" ? "" : ` (${label("foot", foot)})`;
  const events = [
    ...history.lesions.map((one) => ({
      day: one.day,
      says: `${lesionName(one.lesion, language)}${at(one.foot)}${one.healed ? ` ${words.healed}` : one.suspected ? ` ${words.suspected}` : ""}`,
    })),
    ...history.treatments.map((one) => ({
      day: one.day,
      says: `${words.treated} ${one.treatment}${at(one.foot)}`,
    })),
  ].filter(({ day }) => isWithin(day, window));
  const days = [...new Set(events.map(({ day }) => day))].sort((a, b) => b - a);
  if (days.length === 0) return words.nothing;
  const told = days.slice(0, MOST_DAYS).map((day) => {
    const says = events.filter((event) => event.day === day).map((event) => event.says);
    return `${dayShort(day, language, true)}: ${says.join(", ")}`;
  });
  const rest = days.length - told.length;
  return `${told.join("; ")}.${rest > 0 ? ` ${words.earlier(rest)}` : ""}`;
}
