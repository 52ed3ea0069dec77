import type { KindId } from "../records/kinds.ts";
import { kindIds } from "../records/kinds.ts";
import { Random } from "../statistics/random.ts";
import type { SheetCell, SheetRow, Sheets } from "./sheet-row.ts";

/** A fault put into a sheet on purpose, and what a reader of the sheets must say of it. */
export interface PlantedFault {
  readonly kind: KindId;
  /** Row as a spreadsheet numbers it, the header being row 1. */
  readonly row: number;
  /** Empty where the row as a whole is at fault. */
  readonly column: string;
  readonly value: string;
  /**
   * A set-aside code with the arguments that follow from the sheets alone; `exact_repeat` for a row that only
   * says again what another said.
   */
  readonly reason: string;
}

export interface FaultySheets {
  readonly sheets: Sheets;
  readonly faults: readonly PlantedFault[];
}

type Rows = SheetRow[];
type Note = (kind: KindId, row: SheetRow, column: string, reason: string) => void;

/**
 * Puts one of each of the usual slips of a keeper's pen into the sheets of an invented flock: misspelt tags,
 * impossible dates and lengths, rows that disagree, rows entered twice. Deterministic for a seed.
 */
export function plantFaults(sheets: Sheets, seed: number): FaultySheets {
  const random = new Random(seed);
  const out = Object.fromEntries(kindIds.map((kind) => [kind, [...sheets[kind]]])) as Record<KindId, Rows>;
  const noted: { kind: KindId; row: SheetRow; column: string; reason: string }[] = [];
  const note: Note = (kind, row, column, reason) => noted.push({ kind, row, column, reason });
  const untouched = new Set<SheetRow>();

  const pick = (kind: KindId, fits: (row: SheetRow) => boolean): SheetRow => {
    const candidates = out[kind].filter((row) => !untouched.has(row) && fits(row));
    if (candidates.length === 0) throw new RangeError(`no row of ${kind} fits a fault that is to be planted`);
    const row = candidates[random.integer(candidates.length)];
    untouched.add(row);
    return row;
  };
  const change = (kind: KindId, row: SheetRow, cells: Record<string, SheetCell>): SheetRow => {
    const changed = { ...row, ...cells };
    out[kind][out[kind].indexOf(row)] = changed;
    untouched.add(changed);
    return changed;
  };
  const spoil = (
    kind: KindId,
    column: string,
    value: SheetCell,
    reason: string,
    fits: (row: SheetRow) => boolean = () => true,
  ) => note(kind, change(kind, pick(kind, fits), { [column]: value }), column, reason);

  const tags = sheets.animals.map((animal) => String(animal.animal));
  const plain = (row: SheetRow) => row.repeat === null && row.stage === null && row.mark_mm === null;

  for (const kind of ["trims", "gaits", "lesions"] as const) {
    const row = pick(kind, (candidate) => kind !== "trims" || plain(candidate));
    const wrong = misspelt(String(row.animal), tags);
    note(kind, change(kind, row, { animal: wrong }), "animal", "tag_unknown");
  }

  const kid = sheets.animals.find((a) => a.dam !== null && String(a.born) > String(sheets.trims[0].date));
  if (kid) {
    const row = pick("trims", (candidate) => candidate.animal === kid.animal && plain(candidate));
    const before = `${Number(String(kid.born).slice(0, 4)) - 1}${String(row.date).slice(4)}`;
    note("trims", change("trims", row, { date: before }), "date", `before_birth(${kid.born})`);
  }
  const gone = sheets.animals.filter((a) => a.left !== null && String(a.left) < "2025-09");
  const goneRow = pick("gaits", (row) => gone.some((a) => a.animal === row.animal));
  const left = gone.find((a) => a.animal === goneRow.animal)?.left;
  const late = `${Number(String(left).slice(0, 4)) + 1}-01-17`;
  note("gaits", change("gaits", goneRow, { date: late }), "date", `after_leaving(${left})`);

  spoil("trims", "toe_before_mm", 381, "out_of_bounds(5,250)", (row) => plain(row) && row.trimmed === "no");
  spoil("trims", "foot", "XH", "unknown_foot", plain);
  spoil("trims", "claw", "middle", "unknown_claw", plain);
  spoil("trims", "date", "2025-02-30", "no_such_day", plain);
  spoil("trims", "date", "2204-06-11", "in_the_future", plain);
  spoil("trims", "overhang_before_mm", "about six", "not_a_number", plain);
  spoil("gaits", "gait", 7, "off_the_scale(1-5)");
  spoil("gaits", "gait", "limps", "not_a_number");
  spoil("gaits", "date", null, "missing_value(date)");
  spoil("weather", "tmin_c", 99, "out_of_bounds(-70,60)");
  spoil("kiddings", "kids", 22, "out_of_bounds(0,8)");
  const rounds = pick("rounds", (row) => row.others_sound === "no");
  const tooMany = Number(rounds.looked_at) + 4;
  note("rounds", change("rounds", rounds, { lame: tooMany }), "lame", "more_lame_than_seen");

  twice(out.trims, pick("trims", plain), (row, again) => {
    const other = { ...again, toe_before_mm: Math.round(10 * (Number(row.toe_before_mm) + 3.2)) / 10 };
    note("trims", row, "", "rows_disagree");
    note("trims", other, "", "rows_disagree");
    return other;
  });
  for (let k = 0; k < 3; k++) {
    twice(out.trims, pick("trims", plain), (_, again) => {
      note("trims", again, "", "exact_repeat");
      return again;
    });
  }
  const faults = noted
    .map(({ kind, row, column, reason }) => ({
      kind,
      row: out[kind].indexOf(row) + 2,
      column,
      value: String(row[column] ?? ""),
      reason,
    }))
    .sort((a, b) => kindIds.indexOf(a.kind) - kindIds.indexOf(b.kind) || a.row - b.row);
  return { sheets: out, faults };
}

/** Puts a second row under a row. */
function twice(rows: Rows, row: SheetRow, make: (row: SheetRow, again: SheetRow) => SheetRow): void {
  rows.splice(rows.indexOf(row) + 1, 0, make(row, { ...row }));
}

/** The tag with its first nought written as the letter, unless such a tag is known. */
function misspelt(tag: string, known: readonly string[]): string {
  const wrong = tag.includes("0") ? tag.replace("0", "O") : `${tag}X`;
  return known.includes(wrong) ? `${wrong}X` : wrong;
}
