import { type Book, quoteText } from "../book/book.ts";
import type { DayNumber } from "../records/days.ts";

/** A claw (or the smallest part that was recorded) through time, oldest reading first. */
export interface ClawHistory {
  /** Empty where one record speaks of the whole animal. */
  readonly foot: string;
  /** Empty where one record speaks of the whole foot. */
  readonly claw: string;
  readonly readings: readonly ClawReading[];
}

export interface ClawReading {
  readonly day: DayNumber;
  /** Overhang, mm, before and after the trim; toe length in flocks that never noted overhang. */
  readonly before: number | null;
  readonly after: number | null;
  readonly trimmed: boolean;
}

export interface GaitReading {
  readonly day: DayNumber;
  /** Missing where a round assumed it sound. */
  readonly gait: number | null;
  readonly scale: string;
  readonly lameFrom: number;
  readonly lame: boolean;
}

export interface LesionReading {
  readonly day: DayNumber;
  readonly foot: string | null;
  readonly lesion: string;
  readonly healed: boolean;
  readonly suspected: boolean;
}

export interface TreatmentReading {
  readonly day: DayNumber;
  readonly foot: string | null;
  readonly treatment: string;
}

/** Everything on record of one animal that its panel shows. */
export interface AnimalHistory {
  readonly animal: string;
  readonly sex: string | null;
  readonly line: string | null;
  readonly bornEarliest: DayNumber | null;
  readonly bornLatest: DayNumber | null;
  readonly present: readonly { readonly from: DayNumber; readonly to: DayNumber }[];
  readonly pens: readonly { readonly pen: string; readonly from: DayNumber; readonly to: DayNumber }[];
  readonly claws: readonly ClawHistory[];
  readonly gaits: readonly GaitReading[];
  readonly lesions: readonly LesionReading[];
  readonly treatments: readonly TreatmentReading[];
}

export interface FlockHistory {
  /** What the claws' lengths are. */
  readonly measure: "overhang" | "toe";
  /** By tag, in order. */
  readonly animals: readonly AnimalHistory[];
}

/** The histories of a flock's animals up to a day. */
export async function readFlockHistory(book: Book, flock: string, until: DayNumber): Promise<FlockHistory> {
  const id = quoteText(flock);
  const upTo = (column: string): string => `flock = ${id} AND day_no(${column}) <= ${until}`;
  const [noted] = await book.rows<{ overhang: number }>(
    `SELECT CAST(count(coalesce(overhang_before_mm, overhang_after_mm)) AS INTEGER) AS overhang FROM herd.claw_record WHERE ${upTo('"date"')}`,
  );
  const measure = noted && noted.overhang > 0 ? "overhang" : "toe";
  const animals = await book.rows<{
    animal: string;
    sex: string | null;
    line: string | null;
    earliest: number | null;
    latest: number | null;
  }>(`
    SELECT p.animal, any_value(a.sex) AS sex, any_value(l.line) AS line,
      day_no(min(a.born_earliest)) AS earliest, day_no(max(a.born_latest)) AS latest
    FROM exposure.presence p LEFT JOIN herd.animal a USING (flock, animal) LEFT JOIN exposure.animal_line l USING (flock, animal)
    WHERE p.flock = ${id} GROUP BY p.animal ORDER BY p.animal`);
  const present = byAnimal(
    await book.rows<{ animal: string; from: number; to: number }>(
      `SELECT animal, day_no(from_day) AS "from", day_no(to_day) AS "to" FROM exposure.presence WHERE flock = ${id} ORDER BY animal, from_day`,
    ),
  );
  const pens = byAnimal(
    await book.rows<{ animal: string; pen: string; from: number; to: number }>(
      `SELECT animal, pen, day_no(from_day) AS "from", day_no(to_day) AS "to" FROM exposure.animal_pen WHERE flock = ${id} ORDER BY animal, from_day`,
    ),
  );
  const claws = byAnimal(await readClaws(book, upTo('"date"'), measure));
  const gaits = byAnimal(
    await book.rows<GaitReading & { animal: string }>(
      `SELECT animal, day_no(day) AS day, CAST(gait AS DOUBLE) AS gait, gait_scale AS scale, lame_from AS "lameFrom", lame
       FROM exposure.gait_day WHERE ${upTo("day")} ORDER BY animal, day, gait_scale`,
    ),
  );
  const lesions = byAnimal(
    await book.rows<LesionReading & { animal: string }>(
      `SELECT animal, day_no("date") AS day, foot, lesion, coalesce(status = 'healed', FALSE) AS healed, coalesce(suspected, FALSE) AS suspected
       FROM herd.lesion WHERE lesion <> 'none' AND ${upTo('"date"')} GROUP BY ALL ORDER BY animal, day, lesion, foot`,
    ),
  );
  const treatments = byAnimal(
    await book.rows<TreatmentReading & { animal: string }>(
      `SELECT animal, day_no("date") AS day, foot, treatment FROM herd.treatment WHERE ${upTo('"date"')} GROUP BY ALL ORDER BY animal, day, treatment, foot`,
    ),
  );
  return {
    measure,
    animals: animals.map(({ animal, sex, line, earliest, latest }) => ({
      animal,
      sex,
      line,
      bornEarliest: earliest,
      bornLatest: latest,
      present: present(animal),
      pens: pens(animal),
      claws: claws(animal),
      gaits: gaits(animal),
      lesions: lesions(animal),
      treatments: treatments(animal),
    })),
  };
}

/** One row a claw; its readings leave the query as one text, since there are many and they are only drawn. */
async function readClaws(
  book: Book,
  where: string,
  measure: "overhang" | "toe",
): Promise<(ClawHistory & { readonly animal: string })[]> {
  const rows = await book.rows<{ animal: string; foot: string; claw: string; readings: string }>(`
    WITH reading AS (
      SELECT animal, coalesce(foot, '') AS foot, coalesce(claw, '') AS claw, day_no("date") AS day,
        round(avg(${measure}_before_mm), 2) AS before, round(avg(${measure}_after_mm), 2) AS after,
        coalesce(bool_or(trimmed), bool_or(toe_after_mm IS NOT NULL OR overhang_after_mm IS NOT NULL), FALSE) AS trimmed
      FROM herd.claw_record WHERE ${where} GROUP BY ALL
    )
    SELECT animal, foot, claw,
      string_agg(day || ':' || coalesce(before::VARCHAR, '') || ':' || coalesce(after::VARCHAR, '') || ':' || trimmed::INTEGER, ' ' ORDER BY day) AS readings
    FROM reading GROUP BY animal, foot, claw
    ORDER BY animal, list_position(['LF', 'RF', 'LH', 'RH', ''], foot), list_position(['inner', 'outer', ''], claw)`);
  return rows.map(({ animal, foot, claw, readings }) => ({
    animal,
    foot,
    claw,
    readings: readings.split(" ").map(parseReading),
  }));
}

function parseReading(text: string): ClawReading {
  const [day, before, after, trimmed] = text.split(":");
  return {
    day: Number(day),
    before: before === "" ? null : Number(before),
    after: after === "" ? null : Number(after),
    trimmed: trimmed === "1",
  };
}

/** Rows looked up by their animal. */
function byAnimal<Row extends { readonly animal: string }>(
  rows: readonly Row[],
): (animal: string) => readonly Row[] {
  const groups = new Map<string, Row[]>();
  for (const row of rows) {
    const members = groups.get(row.animal);
    if (members) members.push(row);
    else groups.set(row.animal, [row]);
  }
  return (animal) => groups.get(animal) ?? [];
}
