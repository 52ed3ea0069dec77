import { code } from "../records/codes.ts";
import { type GaitScaleId, gaitScales, parseGaitScale } from "../records/gait-scales.ts";
import type { Column, ColumnType } from "../records/kind.ts";
import { findUnit, toKeptUnit, type Unit } from "../records/units.ts";
import { type CellRead, isRefused, refused, taken } from "./cell-read.ts";
import { unitNamed } from "./header-unit.ts";
import { type AgeUnit, readAge } from "./read-age.ts";
import { readBorn } from "./read-born.ts";
import { choiceReader } from "./read-choice.ts";
import { readClaw } from "./read-claw.ts";
import { type DayOrder, readDay } from "./read-day.ts";
import { readFlag } from "./read-flag.ts";
import { namesAllFeet, readFoot } from "./read-foot.ts";
import { type DecimalMark, readNumber } from "./read-number.ts";
import { readParents } from "./read-parents.ts";
import { readStage } from "./read-stage.ts";
import { readTag, readTags } from "./read-tag.ts";

/**
 * A cell as it is stored, one value for each stored column (a birth date has two). A foot or claw cell that
 * names both has the other one as its second value.
 */
export type StoredCell = readonly (string | number | boolean | null)[];

/** How one column's cells are to be read, as understood from the whole column. */
export interface CellForm {
  readonly column: Column;
  readonly unit: string | null;
  readonly dayOrder: DayOrder | null;
  readonly decimalMark: DecimalMark | null;
  readonly knownAnimals: ReadonlySet<string> | null;
  /** Whether a row may speak of all four feet, since it measures none. */
  readonly wholeAnimal: boolean;
  /** Days to add to a spreadsheet's day number: workbooks may count from 1904. */
  readonly serialShift: number;
}

/** The reader of one column's cells that are not blank. Lesions are read apart, since one cell may hold several. */
export function cellReader(form: CellForm): (text: string) => CellRead<StoredCell> {
  return readers[form.column.type](form);
}

type Reader = (form: CellForm) => (text: string) => CellRead<StoredCell>;

const readers: Readonly<Record<ColumnType, Reader>> = {
  tag: () => single(readTag),
  tags: () => single(readTags),
  parents:
    ({ knownAnimals }) =>
    (text) =>
      store(readParents(text, knownAnimals)),
  name: () => single((text) => taken(text.trim().replace(/\s+/g, " "))),
  text: () => single(taken),
  day:
    ({ dayOrder, serialShift }) =>
    (text) =>
      store(readDay(text, dayOrder, serialShift)),
  born:
    ({ dayOrder }) =>
    (text) => {
      const born = readBorn(text, dayOrder);
      return "trouble" in born ? born : taken([born.value.earliest, born.value.latest]);
    },
  age:
    ({ unit, decimalMark }) =>
    (text) =>
      store(readAge(text, unit as AgeUnit | null, decimalMark)),
  flag: () => single(readFlag),
  choice: ({ column }) => single(choiceReader(column)),
  number: (form) => (form.column.name === "gait" ? gaitReader(form) : measureReader(form)),
  integer: (form) => integerReader(form),
  foot: footReader,
  claw: () => clawReader,
  stage: () => single(readStage),
  lesions: () => single(taken),
  gait_scale: () =>
    single((text) => {
      const scale = parseGaitScale(text);
      return scale === null ? refused(code("unknown_word", "gait_scale", "1-5")) : taken(scale);
    }),
};

/** A foot, with its claw as a second value where the cell names both; all four feet are the whole animal. */
function footReader({ wholeAnimal }: CellForm): (text: string) => CellRead<StoredCell> {
  return (text) => {
    const place = readFoot(text);
    if (!isRefused(place)) return taken(pair(place.value.foot, place.value.claw));
    return wholeAnimal && namesAllFeet(text) ? taken([null]) : place;
  };
}

/** A claw, with its foot as a second value where the cell names both. */
function clawReader(text: string): CellRead<StoredCell> {
  const claw = readClaw(text);
  if (!isRefused(claw)) return taken([claw.value]);
  const place = readFoot(text);
  return isRefused(place) || place.value.claw === null ? claw : taken([place.value.claw, place.value.foot]);
}

function pair(first: string, second: string | null): StoredCell {
  return second === null ? [first] : [first, second];
}

function single(read: (text: string) => CellRead<string | boolean>): (text: string) => CellRead<StoredCell> {
  return (text) => store(read(text));
}

function store(read: CellRead<string | number | boolean | null>): CellRead<StoredCell> {
  return "trouble" in read ? read : taken([read.value]);
}

/** A number with a unit of its own or the column's, in the unit the book keeps and within its bounds. */
function measureReader({ column, unit, decimalMark }: CellForm): (text: string) => CellRead<StoredCell> {
  const { quantity, bounds } = column;
  const ofColumn = quantity === undefined || unit === null ? null : findUnit(quantity, unit);
  return (text) => {
    const read = readNumber(text, decimalMark);
    if ("trouble" in read) return read;
    const { value, unit: behind } = read.value;
    if (quantity === undefined) return behind === "" ? taken([value]) : refused(code("not_a_number"));
    const named = behind === "" ? null : unitNamed(quantity, behind);
    if (behind !== "" && named === null) return refused(code("unknown_unit", behind));
    const of = named === null ? ofColumn : findUnit(quantity, named);
    if (of === null) return refused(code("unit_not_named"));
    const kept = inKeptUnit(value, of);
    return bounds !== undefined && (kept < bounds.least || kept > bounds.most)
      ? refused(code("out_of_bounds", bounds.least, bounds.most))
      : taken([kept]);
  };
}

/** Conversion leaves stray digits far behind the point (64 °F is no 17.777777777777779 °C). */
function inKeptUnit(value: number, unit: Unit): number {
  if (unit.factor === 1 && unit.offset === undefined) return value;
  return Math.round(toKeptUnit(value, unit) * 1e9) / 1e9;
}

/** Whole numbers that an INTEGER of the book holds. */
const storedIntegers = { least: -(2 ** 31), most: 2 ** 31 - 1 };

function integerReader({ column, decimalMark }: CellForm): (text: string) => CellRead<StoredCell> {
  const { bounds = storedIntegers } = column;
  return (text) => {
    const read = readNumber(text, decimalMark);
    if ("trouble" in read) return read;
    if (read.value.unit !== "") return refused(code("not_a_number"));
    const { value } = read.value;
    if (!Number.isInteger(value)) return refused(code("not_whole"));
    return value < bounds.least || value > bounds.most
      ? refused(code("out_of_bounds", bounds.least, bounds.most))
      : taken([value]);
  };
}

/** A score, perhaps written `3/5`, within the scale of its column where that is known. */
function gaitReader({ unit, decimalMark }: CellForm): (text: string) => CellRead<StoredCell> {
  return (text) => {
    const whole = /^\s*(\d(?:[.,]\d+)?)\s*(?:\/|of|de)\s*(\d)\s*$/i.exec(text);
    const read = readNumber(whole?.[1] ?? text, decimalMark);
    if ("trouble" in read) return read;
    if (read.value.unit !== "") return refused(code("not_a_number"));
    const scale = unit === null ? null : gaitScales[unit as GaitScaleId];
    if (whole !== null && scale !== null && Number(whole[2]) !== scale.most) {
      return refused(code("off_the_scale", unit!));
    }
    return scale === null ? taken([read.value.value]) : onScale(read.value.value, unit as GaitScaleId);
  };
}

function onScale(score: number, scale: GaitScaleId): CellRead<StoredCell> {
  const { least, most } = gaitScales[scale];
  return score < least || score > most ? refused(code("off_the_scale", scale)) : taken([score]);
}
