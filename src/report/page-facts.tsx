/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import { dayInWords } from "./dates.ts";
import { whole } from "./numbers.ts";
import type { SeasonPageInput } from "./season-page-input.ts";
import { flockLameness } from "./sections/lameness.ts";
import { pageWords } from "./words/page.ts";

/** Days after the last record from which the page warns that it speaks of the past. Project default. */
const STALE_DAYS = 21;

/** What the page speaks of and rests on, in the order that every page has. */
export function Facts({ input, prefix }: { input: SeasonPageInput; prefix: string }): VNode {
  const { language, flock, season, findings, records } = input;
  const words = pageWords[language];
  const coverage = findings.coverage.find((row) => row.group_kind === "flock");
  const scale = flockLameness(input);
  const onlySeen = (scale?.scored_animals ?? 0) - (coverage?.scored ?? 0);
  const since = input.today - input.lastRecord;
  const scorers = flock.namePeople ? input.scorers : input.scorers.map((_, i) => words.scorer(i + 1));
  const n = (value: number): string => whole(value, language);
  const facts: readonly (readonly [string, VNode | string])[] = [
    [
      words.season,
      words.seasonDays(dayInWords(season.from, language), dayInWords(season.to - 1, language), season.soFar),
    ],
    [words.speaksOf, words.lastRecord(dayInWords(input.today, language), since)],
    [
      words.present,
      words.counts(
        n(coverage?.present ?? 0),
        n(coverage?.looked_at ?? 0),
        n(coverage?.measured ?? 0),
        n(coverage?.scored ?? 0),
        onlySeen > 0 ? n(onlySeen) : null,
      ),
    ],
    [
      words.scoredBy,
      scale
        ? `${scorers.length > 0 ? `${scorers.join(", ")}. ` : ""}${words.scale(scale.gait_scale, scale.lame_from)}`
        : words.noScores,
    ],
    [
      words.records,
      <a key="records" href={`${prefix}intake.html`}>
        {words.sum(n(records.read), n(records.taken), n(records.setAside), n(records.repeats))}
      </a>,
    ],
  ];
  return (
    <>
      {since > STALE_DAYS ? (
        <div class="note">
          <p>{words.stale(since)}</p>
        </div>
      ) : null}
      <dl class="facts">
        {facts.map(([name, fact]) => (
          <>
            <dt>{name}</dt>
            <dd>{fact}</dd>
          </>
        ))}
      </dl>
    </>
  );
}
