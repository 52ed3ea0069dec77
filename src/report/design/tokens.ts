/**
 * The look, defined once: pages, work list, charts and notebooks are all made from these. Quiet and printable:
 * white paper, near-black ink, one accent. Nothing is told by colour alone, so that all holds in grey.
 */
export const colours = {
  paper: "#ffffff",
  ink: "#1a1a1a",
  /** Secondary text: contrast over 7 to 1 on paper. */
  quiet: "#545454",
  hairline: "#c9c9c9",
  /** Tint behind notes and table heads. */
  wash: "#f4f2ee",
  accent: "#0b5a7d",
  /** Bands of uncertainty. */
  band: "#d5e3ea",
} as const;

/** The same colours for a dark screen; pages are always paper, notebooks follow the reader's setting. */
export const nightColours: Readonly<Record<keyof typeof colours, string>> = {
  paper: "#15181b",
  ink: "#eceae6",
  quiet: "#b6b9bb",
  hairline: "#454b51",
  wash: "#20252a",
  accent: "#84c6e6",
  band: "#23404f",
};

/** Four sizes of type, px on screen. */
export const type = {
  family: '"Source Sans 3", "Segoe UI", "Noto Sans", "Helvetica Neue", Arial, sans-serif',
  small: 14,
  body: 16,
  heading: 20,
  title: 30,
  /** Body and small type in print, pt. */
  printBody: 10.5,
  printSmall: 9,
} as const;

/** Type inside charts, px. Charts are drawn at the width they are shown at, so this is what a reader sees. */
export const chartType = { size: 14 } as const;

/** Spacing steps, px: an 8 px grid. */
export const space = { half: 4, one: 8, two: 16, three: 24, four: 32, six: 48 } as const;

/** Width of the column of text and of every chart, px: 60 to 75 characters of body text. */
export const columnWidth = 640;

/** Width of a chart on a phone, px, and the width of page up to which phones' charts are shown. */
export const narrowWidth = 328;
export const narrowUpTo = 600;
