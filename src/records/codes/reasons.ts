import type { Caution } from "./cautions.ts";

/** Why an animal stands on the work list, and how strongly a slope is asked. */
const reason = (args: string, en: string, es: string): Caution => ({
  args: args === "" ? [] : args.split(","),
  says: { en, es },
});

export const reasons = {
  never_looked_at: reason("", "never looked at", "nunca revisada"),
  lame_now: reason("gait", "lame at the last look (score {0})", "coja en la última revisión (puntaje {0})"),
  sore_now: reason("lesion", "{0}, not yet seen healed", "{0}, aún sin verse sanada"),
  smell_now: reason("", "foul smell, not yet seen clean", "mal olor, aún sin verse limpia"),
  staged_next: reason(
    "stage",
    "stage {0} of a staged trim is due",
    "toca la etapa {0} de un recorte por etapas",
  ),
  left_long: reason(
    "",
    "left long on purpose at the last trim",
    "se dejó larga a propósito en el último recorte",
  ),
  long_expected: reason(
    "chance",
    "chance {0} that a claw is past the limit by then",
    "probabilidad {0} de que una pezuña pase el límite para entonces",
  ),
  past_longest_gap: reason(
    "weeks",
    "last look over {0} weeks ago",
    "última revisión hace más de {0} semanas",
  ),
  within_weeks: reason(
    "weeks",
    "due within {0} weeks of the last look",
    "toca dentro de {0} semanas de la última revisión",
  ),
  severe_overgrowth: reason("", "badly overgrown at the last look", "muy crecida en la última revisión"),
  per_unit: reason("amount,unit", "for each {0} {1}", "por cada {0} {1}"),
} as const satisfies Record<string, Caution>;
