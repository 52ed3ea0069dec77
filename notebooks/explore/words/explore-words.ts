/** What a figure shows with its limits, and what is said when there is none. */
export interface FigureWords {
  readonly says: string;
  readonly none: string;
}

/** Every word of the notebook that is not in the season pages' own lists. */
export interface ExploreWords {
  readonly title: string;
  /** What the notebook is for. */
  readonly purpose: string;
  readonly whatToAsk: string;
  readonly labels: Readonly<
    Record<"topic" | "flock" | "season" | "group" | "pen" | "line" | "outcome" | "exposure" | "lag", string>
  >;
  readonly topics: Readonly<Record<"growth" | "lameness" | "retrim" | "conditions" | "lines", string>>;
  /** Values of choices: seasons, groups, outcomes. */
  readonly values: Readonly<Record<string, string>>;
  readonly everyPen: string;
  readonly everyLine: string;
  readonly days: (days: string) => string;
  readonly rows: string;
  readonly inSql: string;
  readonly yourWay: string;
  /** Said where rows and figures stand in different units. */
  readonly rowsInMillimetres: string;
  readonly by: (asks: string, group: string) => string;
  readonly wholeFlock: string;
  readonly noDifference: string;
  readonly theFlock: string;
  /** A rate of growth, by the word for its unit. */
  readonly growth: (unit: string) => string;
  readonly differenceOf: (measure: string) => string;
  readonly growthByGroup: FigureWords & { readonly asks: string };
  readonly growthByMonth: FigureWords & { readonly asks: string };
  readonly growthCurve: (condition: string) => FigureWords & { readonly asks: string };
  readonly growthDots: (condition: string) => FigureWords & { readonly asks: string };
  readonly conditionUnits: Readonly<Record<"crude_protein" | "copper_diet" | "wetness", string>>;
  readonly lameByGroup: FigureWords & {
    readonly asks: string;
    readonly measure: string;
    readonly counted: (lame: string, scored: string, scale: string) => string;
  };
  readonly lameByMonth: FigureWords & { readonly asks: string; readonly measure: string };
  readonly retrimByGroup: FigureWords & { readonly asks: string; readonly measure: string };
  readonly retrimCurve: FigureWords & {
    readonly asks: string;
    readonly measure: string;
    readonly daysSince: string;
  };
  readonly levels: Readonly<Record<string, string>>;
  readonly checks: Readonly<Record<string, string>>;
  readonly overDays: (days: string) => string;
  /** Kinds of effect, by the word for a unit of length. */
  readonly effects: (unit: string) => Readonly<Record<string, string>>;
  readonly goesWith: Readonly<Record<"growth" | "lameness" | "retrim", string>>;
  readonly condition: (condition: string, outcome: string) => FigureWords & { readonly asks: string };
  readonly conditionDays: (condition: string) => FigureWords & {
    readonly asks: string;
    readonly label: (days: string, chosen: boolean) => string;
  };
  readonly conditionCurve: (condition: string) => FigureWords & { readonly asks: string };
  readonly againstUsual: (measure: string) => string;
  readonly linesOfGrowth: { readonly asks: string; readonly measure: (unit: string) => string };
  readonly linesOfLameness: { readonly asks: string; readonly measure: string };
  readonly lines: FigureWords;
  readonly bySire: string;
  readonly goats: (line: string) => FigureWords & {
    readonly asks: string;
    readonly measure: (unit: string) => string;
  };
}
