/**
 * The look, defined once: pages, work list, charts and notebooks are all made from these. Quiet and printable:
 * white paper, near-black ink, one accent. Series colours are Okabe and Ito's, told apart by colour-blind
 * readers (from memory); nothing is told by colour alone.
 */
export const colours = {
  paper: "#ffffff",
  ink: "#1a1a1a",
  /** Secondary text: contrast 7 to 1 on paper. */
  quiet: "#545454",
  hairline: "#c9c9c9",
  /** Tint behind notes and table heads. */
  wash: "#f4f2ee",
  accent: "#0b5a7d",
  /** Bands of uncertainty. */
  band: "#d5e3ea",
} as const;

export const series = ["#0072b2", "#d55e00", "#009e73", "#cc79a7", "#56b4e9", "#e69f00", "#1a1a1a"] as const;

/** Four sizes of type at most, px on screen. */
export const type = {
  family: '"Source Sans 3", "Segoe UI", "Noto Sans", "Helvetica Neue", Arial, sans-serif',
  small: 13,
  body: 16,
  heading: 20,
  title: 30,
  /** Body in print, pt. */
  printBody: 10.5,
} as const;

/** Spacing steps, px: an 8 px grid. */
export const space = { half: 4, one: 8, two: 16, three: 24, four: 32, six: 48 } as const;

/** Width of the column of text, px: 60 to 75 characters of body text. */
export const columnWidth = 640;
