/** @jsxRuntime automatic @jsxImportSource preact */
import type { VNode } from "preact";
import { dayInWords } from "./dates.ts";
import { whole } from "./numbers.ts";
import type { SeasonPageInput } from "./season-page-input.ts";
import { mainScale } from "./sections/lameness.ts";
import { pageWords } from "./words/page.ts";

/** Days after the last record from which the page warns that it speaks of the past. Project default. */
const STALE_DAYS = 21;

/** What the page speaks of and rests on, in the order that every page has. */
export function Facts({ input, prefix }: { input: SeasonPageInput; prefix: string }): VNode {
  const { language, flock, season, findings, records } = input;
  const words = pageWords[language];
  const coverage = findings.coverage.find((row) => row.group_kind === "flock");
  const scale = mainScale(findings.lameness.filter((row) => row.group_kind === "flock"));
  const since = input.today - input.lastRecord;
  const scorers = flock.namePeople ? input.scorers : input.scorers.map((_, i) => words.scorer(i + 1));
  const n = (value: number): string => whole(value, language);
  return (
    <>
      {since > STALE_DAYS ? <p class="note">{words.stale(since)}</p> : null}
      <dl class="facts">
        <dt>{words.season}</dt>
        <dd>
          {words.seasonDays(
            dayInWords(season.from, language),
            dayInWords(season.to - 1, language),
            season.soFar,
          )}
        </dd>
        <dt>{words.speaksOf}</dt>
        <dd>{words.lastRecord(dayInWords(input.today, language), since)}</dd>
        <dt>{words.present}</dt>
        <dd>
          {coverage
            ? words.counts(coverage.present, coverage.looked_at, coverage.measured, coverage.scored)
            : words.counts(0, 0, 0, 0)}
        </dd>
        <dt>{words.scoredBy}</dt>
        <dd>
          {scorers.length > 0 ? `${scorers.join(", ")}. ` : ""}
          {scale ? `${words.scale(scale.gait_scale, scale.lame_from)}.` : words.noScores}
        </dd>
        <dt>{words.records}</dt>
        <dd>
          <a href={`${prefix}intake.html`}>
            {words.sum(n(records.read), n(records.taken), n(records.setAside), n(records.repeats))}
          </a>
        </dd>
      </dl>
    </>
  );
}
