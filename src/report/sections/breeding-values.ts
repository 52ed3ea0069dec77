import type { BreedingValueRow } from "../../findings/breeding/breeding-tables.ts";
import { wordCodes } from "../../records/codes.ts";
import { animalCell } from "../animal-anchor.ts";
import { toLengthUnit, unitName } from "../length-units.ts";
import { chanceInWords, decimal, whole, withLimits } from "../numbers.ts";
import type { SeasonPageInput } from "../season-page-input.ts";
import { numberColumn, type Section, wordsColumn } from "../section.ts";
import { breedingWords } from "../words/breeding.ts";
import { columnName } from "../words/columns.ts";

/** Chance of standing above the flock from which a sire is named in the heading. Project default. */
const CLEAR_CHANCE = 0.975;

/** Sires by the chance that their value stands above the flock's; null where no sire has a value. */
export function sireSection(input: SeasonPageInput, trait: "growth" | "lameness"): Section | null {
  const { language, flock, findings } = input;
  const words = breedingWords[language];
  const rows = findings.breedingValues.filter((row) => row.trait === trait);
  const kids = new Map<string, number>();
  for (const row of rows) if (row.sire !== null) kids.set(row.sire, (kids.get(row.sire) ?? 0) + 1);
  const sires = rows
    .filter((row) => kids.has(row.animal) && row.value !== null && row.p_worse_than_flock !== null)
    .sort((a, b) => b.p_worse_than_flock! - a.p_worse_than_flock! || (a.animal < b.animal ? -1 : 1));
  if (sires.length === 0) return null;
  const unit = trait === "growth" ? words.aMonth(unitName(flock.unit, language)) : words.logOdds;
  const scaled = (one: number): number => (trait === "growth" ? toLengthUnit(one, flock.unit) : one);
  const shown = ({ value, lo, hi }: BreedingValueRow): string =>
    withLimits(
      {
        value: scaled(value!),
        lo: lo === null ? null : scaled(lo),
        hi: hi === null ? null : scaled(hi),
      },
      language,
      trait === "growth" && flock.unit === "in" ? 3 : 2,
    );
  return {
    id: `sires-${trait}`,
    question: words.sireQuestion[trait],
    heading: words.sireHeading(
      sires.filter((row) => row.p_worse_than_flock! >= CLEAR_CHANCE).map((row) => row.animal),
      trait,
    ),
    rests: words.allRecords,
    table: {
      caption: words.sireQuestion[trait],
      columns: [
        wordsColumn(words.sire),
        wordsColumn(words.line),
        numberColumn(words.offspring),
        numberColumn(words.value(unit)),
        numberColumn(words.reliability),
        wordsColumn(words.chanceAbove),
        wordsColumn(columnName("note", language)),
      ],
      rows: sires.map((row) => [
        animalCell(input, row.animal),
        row.line ?? words.noPedigree,
        whole(kids.get(row.animal) ?? 0, language),
        shown(row),
        row.reliability === null ? "" : decimal(row.reliability, 2, language),
        chanceInWords(row.p_worse_than_flock!, language),
        wordCodes(row.caution, language),
      ]),
    },
  };
}

/** Inbreeding from which a goat is named: the kid of first cousins. */
const NAMED_INBREEDING = 1 / 16;

/** Goats of the season that are inbred, the most inbred first; null where no pedigree was read. */
export function inbreedingSection(input: SeasonPageInput): Section | null {
  const { language, findings } = input;
  const words = breedingWords[language];
  const known = findings.breedingValues.filter((row) => input.animalPages.has(row.animal));
  if (known.length === 0) return null;
  const byAnimal = new Map(known.map((row) => [row.animal, row]));
  const inbred = [...byAnimal.values()]
    .filter((row) => row.inbreeding >= NAMED_INBREEDING - 1e-9)
    .sort((a, b) => b.inbreeding - a.inbreeding || (a.animal < b.animal ? -1 : 1));
  const most = inbred[0];
  return {
    id: "inbreeding",
    question: words.inbreedingQuestion,
    heading: most
      ? words.inbreedingHeading(inbred.length, decimal(most.inbreeding, 3, language), most.animal)
      : words.inbreedingNone,
    rests: "",
    ...(most
      ? {
          table: {
            caption: words.inbreedingQuestion,
            columns: [
              wordsColumn(columnName("animal", language)),
              numberColumn(words.inbreeding),
              wordsColumn(words.parents),
            ],
            rows: inbred.map((row) => [
              animalCell(input, row.animal),
              decimal(row.inbreeding, 3, language),
              `${row.sire ?? words.noPedigree}, ${row.dam ?? words.noPedigree}`,
            ]),
          },
        }
      : { text: [] }),
  };
}
