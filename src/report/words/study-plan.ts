import type { PlanTrouble } from "../../findings/study-plan/plan-study.ts";
import type { Language } from "../../records/language.ts";
import { whole } from "../numbers.ts";
import { counter } from "./count.ts";

type Outcome = "growth" | "lame";
type Unit = "pen" | "animal";

/** Words of a study's plan, as the terminal prints it. */
export interface StudyPlanWords {
  readonly title: (flock: string, outcome: Outcome, unit: Unit) => string;
  readonly restsGrowth: (goats: number, pens: number, rows: number) => string;
  readonly restsLame: (goats: number, pens: number, rows: number, share: string) => string;
  readonly method: (simulations: number, unit: Unit, monthsBefore: number) => string;
  readonly columns: Readonly<
    Record<
      | "pens"
      | "goats"
      | "months"
      | "visits"
      | "lame"
      | "power"
      | "formula"
      | "range"
      | "designEffect"
      | "smallest"
      | "note",
      string
    >
  >;
  readonly effect: (outcome: Outcome, unit: string) => string;
  readonly none: string;
  readonly rangeBetween: (lo: string, hi: string) => string;
  readonly explained: readonly string[];
  readonly animalsExplained: string;
  readonly beforeExplained: string;
  readonly trouble: (trouble: PlanTrouble) => string;
}

const en = counter("en");
const es = counter("es");

const levers = {
  pens: "--pens",
  goats: "--goats",
  months: "--months",
  visits: "--visits",
  before: "--before",
  simulations: "--simulations",
} as const;

export const studyPlanWords: Readonly<Record<Language, StudyPlanWords>> = {
  en: {
    title: (flock, outcome, unit) =>
      `${flock}: power of a study of ${outcome === "growth" ? "hoof growth" : "lameness"}, ${unit === "pen" ? "whole pens" : "single goats"} assigned to two arms`,
    restsGrowth: (goats, pens, rows) =>
      `By how much growth varies in this flock: ${en(goats, "goat", "goats")}, ${en(pens, "pen", "pens")}, ${en(rows, "claw interval", "claw intervals")}.`,
    restsLame: (goats, pens, rows, share) =>
      `By how much lameness varies in this flock: ${en(goats, "goat", "goats")}, ${en(pens, "pen", "pens")}, ${en(rows, "score", "scores")}; ${share} of scores lame.`,
    method: (simulations, unit, monthsBefore) =>
      `${en(simulations, "simulated study", "simulated studies")} a design, each told as a study that was done would be: one value a ${unit === "pen" ? "pen" : "goat"}${monthsBefore === 0 ? "" : `, less its own from the ${en(monthsBefore, "month", "months")} before`}.`,
    columns: {
      pens: "pens",
      goats: "goats a pen",
      months: "months",
      visits: "visits",
      lame: "scores lame with it",
      power: "power ± s.e.",
      formula: "formula",
      range: "range",
      designEffect: "design effect",
      smallest: "smallest at 80 %",
      note: "note",
    },
    effect: (outcome, unit) => (outcome === "growth" ? `effect, ${unit} a month` : "effect, ratio of odds"),
    none: "none in reach",
    rangeBetween: (lo, hi) => `${lo} to ${hi} %`,
    explained: [
      "Power: of simulated studies, the share whose 95 % limits leave out 'no difference', with its simulation error. At no effect it is the share of false alarms.",
      "Formula: the textbook's two-sample t with the design effect, for comparison. Range: the same over other variances that the records allow as well.",
      "Smallest at 80 %: the smallest effect that four studies in five would show. Losses of goats, missed visits and pens that change hands lower the power.",
    ],
    animalsExplained:
      "Goats of one pen share what happens to it: what is tried must not reach the pen's other goats, and the formula takes goats for independent.",
    beforeExplained:
      "Where every pen or goat has records before the study, the study is told by its change since then: see --before.",
    trouble: (trouble) => {
      switch (trouble.code) {
        case "not_analysed":
          return "The book holds no results yet. Run coronet analyse first.";
        case "no_records":
          return trouble.outcome === "growth"
            ? "No plan: the book holds no measured growth to tell by how much it varies."
            : "No plan: the book holds no gait scores to tell by how much lameness varies.";
        case "no_fit":
          return `No plan: the model of ${trouble.outcome === "growth" ? "growth" : "lameness"} has no fit that can be used (${trouble.verdict.replaceAll("_", " ")}). More goats, pens and months with records would give one.`;
        case "pens_untold":
          return `No plan by pens: with records from ${en(trouble.pens, "pen", "pens")} nobody can tell by how much pens differ. Records from three pens or more would; --unit animal plans a study of single goats.`;
        case "lever_out_of_range":
          return `${levers[trouble.lever]} is ${trouble.value}; it can be a whole number from ${whole(trouble.least, "en")} to ${whole(trouble.most, "en")}.`;
        case "too_many_designs":
          return `${trouble.designs} rows are asked for; at most ${trouble.most} fit one plan. Name fewer values.`;
        case "too_much_to_draw":
          return trouble.simulations === null
            ? "These designs are too large to simulate. Name fewer, or smaller ones."
            : `These designs take too long with so many simulations. With --simulations ${trouble.simulations}, or fewer or smaller designs, they do not.`;
      }
    },
  },
  es: {
    title: (flock, outcome, unit) =>
      `${flock}: potencia de un estudio de ${outcome === "growth" ? "crecimiento del casco" : "cojera"}, ${unit === "pen" ? "corrales enteros" : "cabras sueltas"} en dos grupos`,
    restsGrowth: (goats, pens, rows) =>
      `Según cuánto varía el crecimiento en este rebaño: ${es(goats, "cabra", "cabras")}, ${es(pens, "corral", "corrales")}, ${es(rows, "intervalo", "intervalos")} de pezuña.`,
    restsLame: (goats, pens, rows, share) =>
      `Según cuánto varía la cojera en este rebaño: ${es(goats, "cabra", "cabras")}, ${es(pens, "corral", "corrales")}, ${es(rows, "calificación", "calificaciones")}; ${share} con cojera.`,
    method: (simulations, unit, monthsBefore) =>
      `${es(simulations, "estudio simulado", "estudios simulados")} por diseño, cada uno evaluado como un estudio ya hecho: un valor por ${unit === "pen" ? "corral" : "cabra"}${monthsBefore === 0 ? "" : `, menos el suyo de los ${es(monthsBefore, "mes", "meses")} anteriores`}.`,
    columns: {
      pens: "corrales",
      goats: "cabras por corral",
      months: "meses",
      visits: "visitas",
      lame: "cojera con él",
      power: "potencia ± e.e.",
      formula: "fórmula",
      range: "intervalo",
      designEffect: "efecto de diseño",
      smallest: "mínimo al 80 %",
      note: "nota",
    },
    effect: (outcome, unit) => (outcome === "growth" ? `efecto, ${unit} al mes` : "efecto, razón de momios"),
    none: "ninguno al alcance",
    rangeBetween: (lo, hi) => `${lo} a ${hi} %`,
    explained: [
      "Potencia: de los estudios simulados, la parte cuyos límites del 95 % excluyen 'ninguna diferencia', con su error de simulación. Sin efecto es la parte de falsas alarmas.",
      "Fórmula: la t de dos muestras de los manuales con el efecto de diseño, para comparar. Intervalo: la misma con otras varianzas que los registros también admiten.",
      "Mínimo al 80 %: el menor efecto que mostrarían cuatro de cada cinco estudios. Perder cabras, saltarse visitas o cambiar corrales baja la potencia.",
    ],
    animalsExplained:
      "Las cabras de un corral comparten lo que le pasa: lo que se prueba no debe llegar a las demás, y la fórmula toma las cabras por independientes.",
    beforeExplained:
      "Cuando cada corral o cabra tiene registros anteriores, el estudio se evalúa por su cambio desde entonces: vea --before.",
    trouble: (trouble) => {
      switch (trouble.code) {
        case "not_analysed":
          return "El libro aún no tiene resultados. Ejecute primero coronet analyse.";
        case "no_records":
          return trouble.outcome === "growth"
            ? "Sin plan: el libro no tiene crecimiento medido para saber cuánto varía."
            : "Sin plan: el libro no tiene calificaciones de marcha para saber cuánto varía la cojera.";
        case "no_fit":
          return `Sin plan: el modelo de ${trouble.outcome === "growth" ? "crecimiento" : "cojera"} no tiene un ajuste utilizable (${trouble.verdict.replaceAll("_", " ")}). Lo darían más cabras, corrales y meses con registros.`;
        case "pens_untold":
          return `Sin plan por corrales: con registros de ${es(trouble.pens, "corral", "corrales")} nadie puede saber cuánto difieren. Con tres corrales o más sí; --unit animal planea un estudio de cabras sueltas.`;
        case "lever_out_of_range":
          return `${levers[trouble.lever]} es ${trouble.value}; puede ser un número entero de ${whole(trouble.least, "es")} a ${whole(trouble.most, "es")}.`;
        case "too_many_designs":
          return `Se piden ${trouble.designs} filas; en un plan caben ${trouble.most}. Nombre menos valores.`;
        case "too_much_to_draw":
          return trouble.simulations === null
            ? "Estos diseños son demasiado grandes para simularlos. Nombre menos, o más pequeños."
            : `Estos diseños tardan demasiado con tantas simulaciones. Con --simulations ${trouble.simulations}, o con menos diseños o más pequeños, no.`;
      }
    },
  },
};
