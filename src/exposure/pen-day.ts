import { day, defineTable, number, text } from "../records/table.ts";

/**
 * What each pen's goats ate and stood on, day by day, and where each value came from. Gaps stay gaps: a day
 * for which nothing is recorded has no value.
 */
export const penDay = defineTable({
  schema: "exposure",
  name: "pen_day",
  grain: ["flock", "pen", "day"],
  columns: {
    flock: text.always("flock"),
    pen: text.always("pen"),
    day: day.always("day"),
    crude_protein_pct_dm: number("crude protein of the ration, % of dry matter"),
    crude_protein_from: text("stated (a ration), weighed (mixed from feeds by dry matter)"),
    copper_mg_per_kg_dm: number(
      "copper of the whole diet, feed and eaten mineral over dry matter eaten, mg/kg",
    ),
    copper_from: text(
      "stated, weighed, offered (mineral offered, not weighed back), feed (no mineral recorded)",
    ),
    mineral_copper_mg_per_day: number("copper eaten as mineral, mg per head and day"),
    mineral_copper_from: text("eaten (offered less refused), offered (not weighed back)"),
    zinc_mg_per_kg_dm: number("zinc of the whole diet, mg/kg of dry matter"),
    copper_to_molybdenum: number("copper to molybdenum of the whole diet, ratio"),
    wetness: number("ground wetness, 0 dry to 3 standing mud"),
    wetness_from: text(
      "scored (that day), carried (scored up to 10 days before), weather (calibrated to the flock's scores), weather_uncalibrated",
    ),
    wetness_days_since_score: number("days since the score that stands behind it"),
    ground: text("the pen's ground"),
  },
  reads: [
    "herd.ration",
    "herd.feed",
    "herd.mineral",
    "herd.ground",
    "herd.pen",
    "exposure.flock",
    "exposure.animal_pen",
    "exposure.pen_weather_wetness",
  ],
  identities: [
    { says: "wetness lies on its scale", holds: "wetness IS NULL OR wetness BETWEEN 0 AND 3" },
    {
      says: "protein is a share",
      holds: "crude_protein_pct_dm IS NULL OR crude_protein_pct_dm BETWEEN 0 AND 100",
    },
    { says: "a value says where it came from", holds: "(wetness IS NULL) = (wetness_from IS NULL)" },
  ],
});

/** Days that a wetness score stands for the days after it: project default. */
const CARRIED_DAYS = 10;

/**
 * A period holds from its first day until its end, or until a later period of the same pen begins: an open
 * end means 'still so', and a keeper who starts a new ration has ended the old one. A row that names the pen
 * wins over one that speaks of the whole flock.
 */
const asOf = (table: string, columns: string): string => `
  SELECT d.flock, d.pen, d.day, r.* EXCLUDE (flock, pen)
  FROM days d
  JOIN LATERAL (
    SELECT r.flock, r.pen, ${columns} FROM herd.${table} r
    WHERE r.flock = d.flock AND (r.pen = d.pen OR r.pen IS NULL) AND r."from" <= d.day AND (r."to" IS NULL OR r."to" > d.day)
    ORDER BY r.pen IS NULL, r."from" DESC LIMIT 1
  ) r ON TRUE`;

export const penDayStatements: readonly string[] = [
  `CREATE OR REPLACE TEMP TABLE pens AS
   SELECT DISTINCT flock, pen FROM (
     SELECT flock, pen FROM herd.pen UNION ALL SELECT flock, pen FROM exposure.animal_pen
     UNION ALL SELECT flock, pen FROM herd.ground UNION ALL SELECT flock, pen FROM herd.ration
     UNION ALL SELECT flock, pen FROM herd.mineral UNION ALL SELECT flock, pen FROM herd.feed)
   WHERE pen IS NOT NULL`,
  `CREATE OR REPLACE TEMP TABLE days AS
   SELECT p.flock, p.pen, CAST(unnest(generate_series(f.first_day - 90, f.today, INTERVAL 1 DAY)) AS DATE) AS day
   FROM pens p JOIN exposure.flock f USING (flock)`,
  `CREATE OR REPLACE TEMP TABLE ration_day AS ${asOf(
    "ration",
    "r.crude_protein_pct_dm, r.copper_mg_per_kg_dm AS feed_copper, r.zinc_mg_per_kg_dm AS feed_zinc, r.molybdenum_mg_per_kg_dm AS molybdenum, r.intake_kg_dm_per_head_day AS intake",
  )}`,
  // a pen's feeds add up; feeds of the whole flock count where the pen names none of its own
  `CREATE OR REPLACE TEMP TABLE feed_day AS
   WITH running AS (
     SELECT d.flock, d.pen, d.day, f.feed, f.pen IS NULL AS of_flock, f.kg_per_head_day * f.dry_matter_pct / 100 AS kg_dm,
       f.crude_protein_pct_dm AS cp, f.copper_mg_per_kg_dm AS cu, f.zinc_mg_per_kg_dm AS zn, f.molybdenum_mg_per_kg_dm AS mo
     FROM days d JOIN herd.feed f ON f.flock = d.flock AND (f.pen = d.pen OR f.pen IS NULL) AND f."from" <= d.day AND (f."to" IS NULL OR f."to" > d.day)
   ), chosen AS (
     SELECT * FROM running QUALIFY of_flock = min(of_flock) OVER (PARTITION BY flock, pen, day)
   )
   SELECT flock, pen, day,
     CASE WHEN count(*) = count(kg_dm) AND count(*) = count(cp) THEN sum(kg_dm * cp) / nullif(sum(kg_dm), 0) END AS crude_protein_pct_dm,
     CASE WHEN count(*) = count(kg_dm) AND count(*) = count(cu) THEN sum(kg_dm * cu) / nullif(sum(kg_dm), 0) END AS feed_copper,
     CASE WHEN count(*) = count(kg_dm) AND count(*) = count(zn) THEN sum(kg_dm * zn) / nullif(sum(kg_dm), 0) END AS feed_zinc,
     CASE WHEN count(*) = count(kg_dm) AND count(*) = count(mo) THEN sum(kg_dm * mo) / nullif(sum(kg_dm), 0) END AS molybdenum,
     CASE WHEN count(*) = count(kg_dm) THEN sum(kg_dm) END AS intake
   FROM chosen GROUP BY ALL`,
  // Products that stand in a pen together add up: those that began on one day, and those said to go on. An amount that is
  // missing is not nothing, which greatest() would make of it.
  `CREATE OR REPLACE TEMP TABLE mineral_day AS
   WITH running AS (
     SELECT d.flock, d.pen, d.day, m.product, m."from" AS started, m."to" IS NOT NULL AS goes_on, m.pen IS NULL AS of_flock,
       CASE WHEN m.offered_g_per_head_day IS NOT NULL THEN greatest(m.offered_g_per_head_day - coalesce(m.refused_g_per_head_day, 0), 0) END AS eaten_g,
       m.copper_mg_per_kg AS cu, m.zinc_mg_per_kg AS zn, m.refused_g_per_head_day IS NOT NULL AS weighed_back
     FROM days d JOIN herd.mineral m ON m.flock = d.flock AND (m.pen = d.pen OR m.pen IS NULL) AND m."from" <= d.day AND (m."to" IS NULL OR m."to" > d.day)
   ), own AS (
     SELECT * FROM running QUALIFY of_flock = min(of_flock) OVER (PARTITION BY flock, pen, day)
   ), latest AS (
     SELECT * FROM own QUALIFY row_number() OVER (PARTITION BY flock, pen, day, product ORDER BY started DESC) = 1
   ), offered AS (
     SELECT * FROM latest QUALIFY goes_on OR started = max(started) OVER (PARTITION BY flock, pen, day)
   )
   SELECT flock, pen, day,
     CASE WHEN count(*) = count(eaten_g * cu) THEN sum(eaten_g * cu) / 1000 END AS copper_mg,
     CASE WHEN count(*) = count(eaten_g * zn) THEN sum(eaten_g * zn) / 1000 END AS zinc_mg,
     bool_and(weighed_back) AS weighed_back
   FROM offered GROUP BY flock, pen, day`,
  `CREATE OR REPLACE TEMP TABLE wetness_day AS
   WITH scored AS (SELECT flock, pen, "date" AS day, avg(CAST(wetness AS DOUBLE)) AS wetness FROM herd.ground GROUP BY ALL),
   own AS (
     SELECT d.flock, d.pen, d.day, s.wetness, s.day AS scored_on
     FROM days d ASOF JOIN (SELECT * FROM scored WHERE pen IS NOT NULL) s ON s.flock = d.flock AND s.pen = d.pen AND s.day <= d.day
   ), whole AS (
     SELECT d.flock, d.pen, d.day, s.wetness, s.day AS scored_on
     FROM days d ASOF JOIN (SELECT * FROM scored WHERE pen IS NULL) s ON s.flock = d.flock AND s.day <= d.day
   ), both_said AS (
     SELECT *, 0 AS rank FROM own WHERE day - scored_on <= ${CARRIED_DAYS}
     UNION ALL SELECT *, 1 FROM whole WHERE day - scored_on <= ${CARRIED_DAYS}
   )
   SELECT flock, pen, day, wetness, CAST(day - scored_on AS INTEGER) AS since FROM both_said
   QUALIFY row_number() OVER (PARTITION BY flock, pen, day ORDER BY rank) = 1`,
  `CREATE OR REPLACE TABLE exposure.pen_day AS
   SELECT d.flock, d.pen, d.day,
     coalesce(r.crude_protein_pct_dm, f.crude_protein_pct_dm) AS crude_protein_pct_dm,
     CASE WHEN r.crude_protein_pct_dm IS NOT NULL THEN 'stated' WHEN f.crude_protein_pct_dm IS NOT NULL THEN 'weighed' END AS crude_protein_from,
     coalesce(r.feed_copper, f.feed_copper) + coalesce(m.copper_mg / nullif(coalesce(r.intake, f.intake), 0), CASE WHEN m.flock IS NULL THEN 0 END) AS copper_mg_per_kg_dm,
     CASE WHEN coalesce(r.feed_copper, f.feed_copper) IS NULL OR (m.flock IS NOT NULL AND (m.copper_mg IS NULL OR coalesce(r.intake, f.intake) IS NULL)) THEN NULL
       WHEN m.flock IS NULL THEN 'feed' WHEN NOT m.weighed_back THEN 'offered'
       WHEN r.feed_copper IS NOT NULL THEN 'stated' ELSE 'weighed' END AS copper_from,
     m.copper_mg AS mineral_copper_mg_per_day,
     CASE WHEN m.copper_mg IS NULL THEN NULL WHEN m.weighed_back THEN 'eaten' ELSE 'offered' END AS mineral_copper_from,
     coalesce(r.feed_zinc, f.feed_zinc) + coalesce(m.zinc_mg / nullif(coalesce(r.intake, f.intake), 0), CASE WHEN m.flock IS NULL THEN 0 END) AS zinc_mg_per_kg_dm,
     (coalesce(r.feed_copper, f.feed_copper) + coalesce(m.copper_mg / nullif(coalesce(r.intake, f.intake), 0), CASE WHEN m.flock IS NULL THEN 0 END))
       / nullif(coalesce(r.molybdenum, f.molybdenum), 0) AS copper_to_molybdenum,
     coalesce(w.wetness, c.wetness) AS wetness,
     CASE WHEN w.since = 0 THEN 'scored' WHEN w.wetness IS NOT NULL THEN 'carried'
       WHEN c.calibrated = 'fixed' THEN 'weather_uncalibrated' WHEN c.wetness IS NOT NULL THEN 'weather' END AS wetness_from,
     CAST(w.since AS DOUBLE) AS wetness_days_since_score,
     (SELECT p.ground FROM herd.pen p WHERE p.flock = d.flock AND p.pen = d.pen
        AND (p."from" IS NULL OR p."from" <= d.day) AND (p."to" IS NULL OR p."to" > d.day) ORDER BY p."from" DESC NULLS LAST LIMIT 1) AS ground
   FROM days d
   LEFT JOIN ration_day r USING (flock, pen, day) LEFT JOIN feed_day f USING (flock, pen, day)
   LEFT JOIN mineral_day m USING (flock, pen, day) LEFT JOIN wetness_day w USING (flock, pen, day)
   LEFT JOIN exposure.pen_weather_wetness c USING (flock, pen, day)`,
  // running sums: the mean of any span of days is a difference of two rows
  `CREATE OR REPLACE TABLE exposure.pen_day_sum AS
   SELECT flock, pen, day,
     ${[
       "crude_protein_pct_dm",
       "copper_mg_per_kg_dm",
       "mineral_copper_mg_per_day",
       "zinc_mg_per_kg_dm",
       "wetness",
     ]
       .map(
         (name) =>
           `coalesce(sum(${name}) OVER before, 0) AS ${name}_sum, count(${name}) OVER before AS ${name}_days`,
       )
       .join(", ")}
   FROM (SELECT flock, pen, day, crude_protein_pct_dm, copper_mg_per_kg_dm, mineral_copper_mg_per_day, zinc_mg_per_kg_dm, wetness FROM exposure.pen_day
         UNION ALL SELECT flock, pen, max(day) + 1, NULL, NULL, NULL, NULL, NULL FROM exposure.pen_day GROUP BY ALL)
   WINDOW before AS (PARTITION BY flock, pen ORDER BY day ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING)`,
  "DROP TABLE pens; DROP TABLE days; DROP TABLE ration_day; DROP TABLE feed_day; DROP TABLE mineral_day; DROP TABLE wetness_day",
];
