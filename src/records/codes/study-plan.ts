import type { Caution } from "./cautions.ts";

const entry = (args: string, en: string, es: string): Caution => ({
  args: args === "" ? [] : args.split(","),
  says: { en, es },
});

/** What a reader must know beside the power of a planned study. */
export const studyPlanCodes = {
  pens_rest_on: entry(
    "pens",
    "how pens differ is known from {0} pens only, so power is itself uncertain: see the range",
    "cuánto difieren los corrales se sabe solo por {0} corrales, así que la potencia misma es incierta: vea el intervalo",
  ),
  pens_found_alike: entry(
    "",
    "pens were found no more different than chance makes them: if they do differ, power is lower",
    "los corrales no difieren más de lo que da el azar: si de verdad difieren, la potencia es menor",
  ),
  pen_months_untold: entry(
    "",
    "how a pen changes from month to month could not be told and counts as nothing: power may be lower",
    "no se pudo saber cuánto cambia un corral de mes a mes y cuenta como nada: la potencia puede ser menor",
  ),
} as const satisfies Record<string, Caution>;
