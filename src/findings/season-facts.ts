import { type Book, quoteName, quoteText } from "../book/book.ts";
import type { DayNumber } from "../records/days.ts";
import type { Flock } from "../records/flock.ts";
import { kindIds, kinds } from "../records/kinds.ts";

/** What a page says of the records behind it, beside the findings themselves. */
export interface SeasonFacts {
  /** Of all sheets that hold any record of the flock. */
  readonly records: {
    readonly read: number;
    readonly taken: number;
    readonly setAside: number;
    readonly repeats: number;
  };
  /** Scorers of the season, in the order of their first score. */
  readonly scorers: readonly string[];
  /** Remarks, lesions and treatments of the season or just before that raise the notifiable-disease question, each naming its row. */
  readonly notifiable: readonly { readonly where: string; readonly says: string }[];
  readonly treatments: {
    readonly count: number;
    readonly withoutWithdrawal: number;
    /** Last day to which a withdrawal is recorded as running, from the flock's day on: of this season's treatments or earlier ones. */
    readonly milkUntil: DayNumber | null;
    readonly meatUntil: DayNumber | null;
  };
  readonly footbathNamed: boolean;
  /** Days on which a pen's crude protein stood at least 3 points of dry matter above that of a week before. */
  readonly rationRises: readonly {
    readonly pen: string;
    readonly day: DayNumber;
    readonly from: number;
    readonly to: number;
  }[];
  readonly sheepToo: boolean;
  readonly copperKnown: boolean;
  readonly lastRecord: DayNumber;
}

/** Points of crude protein in dry matter within a week that are a sudden rise of the ration. Project default. */
const SUDDEN_RISE = 3;

/** Days before a season whose signs of notifiable disease still stand at its head. Project default. */
const SIGN_DAYS = 28;

/** Sheets that hold records of a flock: one with a column for the flock may hold those of several, and counts for each. */
function sourcesHolding(id: string): string {
  return kindIds
    .filter((kind) => kind !== "corrections")
    .map((kind) => `SELECT source_id FROM herd.${quoteName(kinds[kind].table)} WHERE flock = ${id}`)
    .join(" UNION ");
}

export async function readSeasonFacts(
  book: Book,
  flock: Flock,
  from: DayNumber,
  to: DayNumber,
): Promise<SeasonFacts> {
  const id = quoteText(flock.id);
  const within = (column: string): string => `day_no(${column}) >= ${from} AND day_no(${column}) < ${to}`;
  const [sums] = await book.rows<{ read: number; taken: number; setAside: number; repeats: number }>(
    `SELECT CAST(coalesce(sum(r.read), 0) AS INTEGER) AS read, CAST(coalesce(sum(r.taken), 0) AS INTEGER) AS taken,
       CAST(coalesce(sum(r.set_aside), 0) AS INTEGER) AS "setAside", CAST(coalesce(sum(r.repeats), 0) AS INTEGER) AS repeats
     FROM intake.record_sum r JOIN intake.source s USING (source_id)
     WHERE s.flock = ${id} OR source_id IN (${sourcesHolding(id)})`,
  );
  const scorers = await book.rows<{ scorer: string }>(
    `SELECT scorer FROM herd.gait WHERE flock = ${id} AND scorer IS NOT NULL AND ${within('"date"')} GROUP BY scorer ORDER BY min("date"), scorer`,
  );
  const notifiable = await book.rows<{ where: string; says: string }>(
    `SELECT s.file || coalesce(', ' || s.worksheet, '') || ', row ' || r.row_no AS "where", r.remark AS says
     FROM intake.remark r JOIN intake.source s USING (source_id) WHERE r.flock = ${id} AND r.notifiable
       AND (r."date" IS NULL OR (day_no(r."date") >= ${from - SIGN_DAYS} AND day_no(r."date") < ${to})) ORDER BY s.file, r.row_no`,
  );
  const [treated] = await book.rows<{
    count: number;
    without: number;
    milk: number | null;
    meat: number | null;
  }>(
    // a withdrawal runs on into the next season
    `SELECT CAST(count(*) FILTER (${within('"date"')}) AS INTEGER) AS count,
       CAST(count(*) FILTER (${within('"date"')} AND coalesce(withdrawal_until, withdrawal_milk_until, withdrawal_meat_until) IS NULL) AS INTEGER) AS without,
       day_no(max(coalesce(withdrawal_milk_until, withdrawal_until))) AS milk, day_no(max(coalesce(withdrawal_meat_until, withdrawal_until))) AS meat
     FROM herd.treatment WHERE flock = ${id} AND day_no("date") < ${to}`,
  );
  const [named] = await book.rows<{ footbath: boolean; sheep: boolean; copper: boolean; last: number }>(
    `SELECT EXISTS (SELECT 1 FROM herd.event WHERE flock = ${id} AND event = 'footbath' AND ${within('"date"')}) AS footbath,
       EXISTS (SELECT 1 FROM herd.pen WHERE flock = ${id} AND sheep_too) AS sheep,
       EXISTS (SELECT 1 FROM exposure.pen_day WHERE flock = ${id} AND copper_mg_per_kg_dm IS NOT NULL AND ${within("day")}) AS copper,
       (SELECT max(d) FROM (SELECT day_no(max("date")) AS d FROM herd.claw_record WHERE flock = ${id} AND day_no("date") <= ${flock.today}
         UNION ALL SELECT day_no(max("date")) FROM herd.gait WHERE flock = ${id} AND day_no("date") <= ${flock.today}
         UNION ALL SELECT day_no(max("date")) FROM herd.lesion WHERE flock = ${id} AND day_no("date") <= ${flock.today}
         UNION ALL SELECT day_no(max("date")) FROM herd.treatment WHERE flock = ${id} AND day_no("date") <= ${flock.today}
         UNION ALL SELECT day_no(max("date")) FROM herd.ground WHERE flock = ${id} AND day_no("date") <= ${flock.today}
         UNION ALL SELECT day_no(max("date")) FROM herd.round WHERE flock = ${id} AND day_no("date") <= ${flock.today})) AS last`,
  );
  const rationRises = await book.rows<{ pen: string; day: number; from: number; to: number }>(
    `WITH rise AS (
       SELECT d.pen, d.day, w.crude_protein_pct_dm AS "from", d.crude_protein_pct_dm AS "to",
         coalesce(round(d.crude_protein_pct_dm - w.crude_protein_pct_dm, 6) >= ${SUDDEN_RISE}, FALSE) AS sudden
       FROM exposure.pen_day d JOIN exposure.pen_day w ON w.flock = d.flock AND w.pen = d.pen AND w.day = d.day - 7
       WHERE d.flock = ${id}
     ), begun AS (SELECT *, lag(sudden, 1, FALSE) OVER (PARTITION BY pen ORDER BY day) AS before FROM rise)
     SELECT pen, day_no(day) AS day, "from", "to" FROM begun WHERE sudden AND NOT before AND ${within("day")} ORDER BY day, pen`,
  );
  return {
    records: sums!,
    scorers: scorers.map(({ scorer }) => scorer),
    notifiable,
    treatments: {
      count: treated!.count,
      withoutWithdrawal: treated!.without,
      milkUntil: treated!.milk !== null && treated!.milk >= flock.today ? treated!.milk : null,
      meatUntil: treated!.meat !== null && treated!.meat >= flock.today ? treated!.meat : null,
    },
    footbathNamed: named!.footbath,
    rationRises,
    sheepToo: named!.sheep,
    copperKnown: named!.copper,
    lastRecord: named!.last,
  };
}
