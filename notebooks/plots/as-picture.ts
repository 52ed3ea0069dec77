/**
 * The plot as one picture to those who hear the page: its own label says what it shows, and the labels that the
 * library gives to its parts, which have no role to carry them (WAI-ARIA 1.2, section 5.2.8.6), are taken off.
 */
export function asPicture(plot: Element): Element {
  for (const part of plot.querySelectorAll("[aria-label]")) part.removeAttribute("aria-label");
  plot.setAttribute("role", "img");
  return plot;
}
