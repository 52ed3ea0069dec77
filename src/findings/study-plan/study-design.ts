/** One way to lay out a study: two arms, alike but for what is tried in the first. */
export interface StudyDesign {
  /** What is assigned to an arm. Pens: half of the pens to either arm. Animals: half of every pen's goats. */
  readonly unit: "pen" | "animal";
  readonly pens: number;
  readonly goatsPerPen: number;
  /** Months of 30 days from the first visit to the last. */
  readonly months: number;
  /** Visits to every goat, the first at the start and the last at the end. */
  readonly visits: number;
  /** Months of records before the start, at the same pace, that every unit is set against; 0: none. */
  readonly monthsBefore: number;
}

/** Numbers from which no study is laid out, and what a lever may be. */
export const leverBounds = {
  pens: { least: 2, most: 400 },
  goats: { least: 1, most: 1000 },
  months: { least: 1, most: 60 },
  visits: { least: 2, most: 240 },
  before: { least: 0, most: 60 },
} as const;

/** Visits before the start that leave as many days between them as those after it. */
export function visitsBefore({ months, visits, monthsBefore }: StudyDesign): number {
  return monthsBefore === 0 ? 0 : Math.max(1, Math.round(((visits - 1) * monthsBefore) / months));
}

/** Units of the first and of the second arm: the arm of unit i is `i % 2`. */
export function unitsOfArms({ unit, pens, goatsPerPen }: StudyDesign): readonly [number, number] {
  const units = unit === "pen" ? pens : pens * goatsPerPen;
  return [Math.ceil(units / 2), Math.floor(units / 2)];
}

/** Degrees of freedom of the arms' difference: goats are compared within their pens. */
export function studyDf(design: StudyDesign): number {
  const [first, second] = unitsOfArms(design);
  return first + second - (design.unit === "pen" ? 1 : design.pens) - 1;
}

/** A study's units once their chances were drawn: what either arm shows for any effect that is tried in the first. */
export interface DrawnStudy {
  first(effect: number): readonly number[];
  readonly second: readonly number[];
  /** Block of every unit of the first and of the second arm: its pen where goats were assigned, else one for all. */
  readonly blocks: readonly [readonly number[], readonly number[]];
}
