/**
 * Age band and class of an animal on a day, as macros over columns of the animal and its kiddings.
 *
 * Bands: kid (< 6 months), young (6-12 months), yearling (1-2 years), adult (2-6), older, unknown. Where the
 * birth date is a range, the middle counts. Classes: kid, growing, late pregnant (50 days before kidding),
 * milking, dry, buck, wether, unknown. Project defaults.
 */
export const classStatements: readonly string[] = [
  `CREATE OR REPLACE MACRO age_band(born_earliest, born_latest, d) AS
     CASE WHEN born_earliest IS NULL THEN 'unknown'
       WHEN d - (born_earliest + CAST((born_latest - born_earliest) / 2 AS INTEGER)) < 183 THEN 'kid'
       WHEN d - (born_earliest + CAST((born_latest - born_earliest) / 2 AS INTEGER)) < 365 THEN 'young'
       WHEN d - (born_earliest + CAST((born_latest - born_earliest) / 2 AS INTEGER)) < 731 THEN 'yearling'
       WHEN d - (born_earliest + CAST((born_latest - born_earliest) / 2 AS INTEGER)) < 2192 THEN 'adult'
       ELSE 'older' END`,
  `CREATE OR REPLACE MACRO animal_class(sex, band, last_kidding, dried_off, next_kidding, d) AS
     CASE WHEN band = 'kid' THEN 'kid'
       WHEN sex = 'male' THEN 'buck' WHEN sex = 'wether' THEN 'wether'
       WHEN next_kidding IS NOT NULL AND next_kidding - d BETWEEN 0 AND 50 THEN 'late pregnant'
       WHEN last_kidding IS NOT NULL AND (dried_off IS NULL OR dried_off > d) AND d - last_kidding < 305 THEN 'milking'
       WHEN last_kidding IS NOT NULL THEN 'dry'
       WHEN band IN ('young', 'yearling') THEN 'growing'
       ELSE 'unknown' END`,
];
