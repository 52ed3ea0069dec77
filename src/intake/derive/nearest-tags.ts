/**
 * For each tag of `unlisted` (flock, tag), the nearest known tags of its flock, three at most, as one text in
 * `near_tag`. Near is one step (a character dropped, added, changed, or swapped with its neighbour) apart,
 * case, accents, punctuation and leading zeros aside. Nothing is ever matched by it: it is advice.
 *
 * Two words one step apart share the word that either gives by dropping one character (or by dropping none),
 * so candidates come from a join on these instead of from comparing every tag with every other.
 */
export const nearestTags = `CREATE OR REPLACE TEMP TABLE near_tag AS
   WITH wanted AS (SELECT flock, tag, ${folded("tag")} AS word FROM unlisted),
   known AS (
     SELECT flock, tag, ${folded("tag")} AS word
     FROM (SELECT DISTINCT flock, tag FROM tag_owner SEMI JOIN unlisted USING (flock))
   ),
   wanted_key AS (SELECT flock, tag, word, unnest(${keys("word")}) AS key FROM wanted),
   known_key AS (SELECT flock, tag, word, unnest(${keys("word")}) AS key FROM known),
   pair AS (
     SELECT DISTINCT w.flock, w.tag, k.tag AS near, damerau_levenshtein(w.word, k.word) AS steps,
       damerau_levenshtein(w.tag, k.tag) AS written
     FROM wanted_key w JOIN known_key k ON k.flock = w.flock AND k.key = w.key AND k.tag <> w.tag
   ),
   ranked AS (
     SELECT *, row_number() OVER (PARTITION BY flock, tag ORDER BY steps, written, near) AS place FROM pair WHERE steps <= 2
   )
   SELECT flock, tag, string_agg(near, ' / ' ORDER BY place) AS nearest FROM ranked WHERE place <= 3 GROUP BY flock, tag`;

function folded(tag: string): string {
  return `regexp_replace(regexp_replace(lower(strip_accents(${tag})), '[^a-z0-9]+', '', 'g'), '(^|[^0-9])0+([0-9])', '\\1\\2', 'g')`;
}

function keys(word: string): string {
  return `list_distinct(list_prepend(${word}, CASE WHEN length(${word}) < 2 THEN []
    ELSE [left(${word}, i - 1) || substr(${word}, i + 1) FOR i IN range(1, length(${word}) + 1)] END))`;
}
