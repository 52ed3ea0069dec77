import type { Book } from "../book/book.ts";

/** One trim spell in one of the groups it counts in. */
export interface GroupedSpell {
  readonly flock: string;
  readonly group_kind: string;
  readonly group_value: string;
  readonly animal: string;
  readonly claws: number;
  readonly not_over_until: number;
  readonly over_by: number | null;
  readonly left_out: string | null;
}

/** Lower ends of the bands of crude protein, % of dry matter, beyond the first. Project default. */
const PROTEIN_BANDS = [10, 12, 14, 16, 18];

/** Trim spells by group: where the animal stood and what it was on the day of the trim, and what its pen ate then. */
export async function readGroupedSpells(book: Book): Promise<readonly (readonly GroupedSpell[])[]> {
  const spells = await book.rows<GroupedSpell>(`
    SELECT s.flock, g.group_kind, g.group_value, s.animal, s.claws, s.not_over_until, s.over_by, s.left_out
    FROM results.trim_spell s JOIN exposure.animal_day_group g ON g.flock = s.flock AND g.animal = s.animal AND g.day = s.trimmed_on
    WHERE s.foot = '' AND g.group_kind <> 'arm'
    UNION ALL
    SELECT s.flock, 'ration', ${proteinBand("d.crude_protein_pct_dm")}, s.animal, s.claws, s.not_over_until, s.over_by, s.left_out
    FROM results.trim_spell s JOIN exposure.animal_day a ON a.flock = s.flock AND a.animal = s.animal AND a.day = s.trimmed_on
    JOIN exposure.pen_day d ON d.flock = a.flock AND d.pen = a.pen AND d.day = a.day
    WHERE s.foot = '' AND d.crude_protein_pct_dm IS NOT NULL
    UNION ALL SELECT flock, 'foot', foot, animal, claws, not_over_until, over_by, left_out FROM results.trim_spell WHERE foot <> ''
    UNION ALL SELECT flock, 'claw', claw, animal, claws, not_over_until, over_by, left_out FROM results.trim_spell WHERE claw <> ''
    ORDER BY ALL`);
  const groups = new Map<string, GroupedSpell[]>();
  for (const spell of spells) {
    const key = [spell.flock, spell.group_kind, spell.group_value].join("\n");
    const members = groups.get(key);
    if (members) members.push(spell);
    else groups.set(key, [spell]);
  }
  return [...groups.values()];
}

/** `12-14 % protein`, as SQL. */
function proteinBand(column: string): string {
  const cases = PROTEIN_BANDS.map((end, k) => {
    const name = k === 0 ? `under ${end}` : `${PROTEIN_BANDS[k - 1]}-${end}`;
    return `WHEN ${column} < ${end} THEN '${name} % protein'`;
  });
  return `CASE ${cases.join(" ")} ELSE '${PROTEIN_BANDS.at(-1)} % protein and over' END`;
}
