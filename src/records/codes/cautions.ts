import type { InEveryLanguage } from "../language.ts";

/** What a reader must know beside a figure: why it is missing, what it rests on, what may stand behind it. */
export interface Caution {
  readonly args: readonly string[];
  readonly says: InEveryLanguage;
}

const caution = (args: string, en: string, es: string): Caution => ({
  args: args === "" ? [] : args.split(","),
  says: { en, es },
});

export const cautions = {
  too_few_animals: caution(
    "animals,needed",
    "too few animals to tell ({0}; {1} needed)",
    "muy pocos animales para decirlo ({0}; se necesitan {1})",
  ),
  too_few_intervals: caution(
    "intervals,needed",
    "too few intervals to tell ({0}; {1} needed)",
    "muy pocos intervalos para decirlo ({0}; se necesitan {1})",
  ),
  too_few_forecasts: caution(
    "forecasts,needed",
    "too few forecasts to tell ({0}; {1} needed)",
    "muy pocos pronósticos para decirlo ({0}; se necesitan {1})",
  ),
  too_few_scores: caution(
    "scores,needed",
    "too few scores to tell ({0}; {1} needed)",
    "muy pocas calificaciones para decirlo ({0}; se necesitan {1})",
  ),
  too_few_pens: caution(
    "pens,needed",
    "too few pens to tell ({0}; {1} needed)",
    "muy pocos corrales para decirlo ({0}; se necesitan {1})",
  ),
  too_few_pen_months: caution(
    "pen_months,needed",
    "too few pen-months to tell ({0}; {1} needed)",
    "muy pocos corral-meses para decirlo ({0}; se necesitan {1})",
  ),
  too_few_events: caution(
    "events,needed",
    "too few seen to tell ({0}; {1} needed)",
    "muy pocos vistos para decirlo ({0}; se necesitan {1})",
  ),
  too_little_contrast: caution(
    "",
    "it hardly changed, so nothing can be told",
    "casi no cambió, así que no se puede decir nada",
  ),
  too_few_degrees: caution(
    "df",
    "only {0} degrees of freedom: no interval can be trusted",
    "solo {0} grados de libertad: ningún intervalo es fiable",
  ),
  short_interval: caution(
    "days",
    "{0} days apart: says more of the ruler than of the horn",
    "{0} días entre medidas: dice más de la regla que del casco",
  ),
  not_horn: caution(
    "",
    "no horn grows or shrinks so: left out of the model",
    "ningún casco crece o mengua así: fuera del modelo",
  ),
  overhang_basis: caution(
    "",
    "from overhang: the pad is pared too, so this is weaker",
    "por saliente: también se rebaja la palma, así que es más débil",
  ),
  net_of_wear: caution("", "net of wear", "descontado el desgaste"),
  pen_unknown: caution("", "the pen of these days is not known", "no se sabe el corral de esos días"),
  exposure_missing: caution("", "nothing recorded for these days", "nada registrado para esos días"),
  offered_not_eaten: caution(
    "",
    "offered, not weighed back: the amount eaten is not known",
    "ofrecido, sin pesar lo sobrante: no se sabe cuánto comieron",
  ),
  wetness_carried: caution("days", "scored {0} days before", "calificado {0} días antes"),
  not_seen_beyond: caution("day", "not seen beyond day {0}", "no se vio más allá del día {0}"),
  not_known_between: caution(
    "from,to",
    "not known between day {0} and day {1}",
    "no se sabe entre el día {0} y el día {1}",
  ),
  starts_left_out: caution(
    "spells",
    "{0} spells started over the limit or were staged and are left out",
    "{0} periodos empezaron pasados o por etapas y quedan fuera",
  ),
  trim_dates_only: caution(
    "",
    "only trim dates are known: they measure habit, not need",
    "solo hay fechas de recorte: miden costumbre, no necesidad",
  ),
  for_cause_apart: caution(
    "scores",
    "{0} scores were for cause and are left out of the day's figure",
    "{0} calificaciones fueron por causa y quedan fuera de la cifra del día",
  ),
  scored_singly: caution(
    "",
    "goats were scored one at a time, so a limp may have brought on the score",
    "se calificó de una en una; la cojera pudo motivar la calificación",
  ),
  assumed_sound: caution(
    "scores",
    "{0} scores were assumed sound from rounds",
    "{0} calificaciones se supusieron sanas por los recorridos",
  ),
  scale_assumed: caution("scale", "the scale was taken to be {0}", "se tomó la escala {0}"),
  two_scorers: caution("rule", "two scorers on one day: {0}", "dos observadores un mismo día: {0}"),
  crude_only: caution("", "not adjusted for anything else", "sin ajustar por nada más"),
  levels_disagree: caution(
    "",
    "pens compared with each other say otherwise than the same pens over time",
    "los corrales entre sí dicen otra cosa que los mismos corrales en el tiempo",
  ),
  moves_with_calendar: caution(
    "",
    "moves with the calendar: cannot be told from the season",
    "cambia con el calendario: no se distingue de la temporada",
  ),
  control_failed: caution(
    "",
    "what came after went with it as much as what came before",
    "lo de después se asoció tanto como lo de antes",
  ),
  not_asked: caution(
    "",
    "not asked: too few pens or months differ",
    "no se preguntó: difieren muy pocos corrales o meses",
  ),
  pen_level_withheld: caution(
    "",
    "withheld: no interval for pen-level conditions has been shown to hold here",
    "se retiene: no se ha probado un intervalo para condiciones de corral",
  ),
  not_separable_from_pen: caution(
    "",
    "seen in one pen only: not separable from its pen",
    "vista en un solo corral: no se separa de su corral",
  ),
  line_too_narrow: caution(
    "animals",
    "too narrow: {0} animals with records",
    "muy estrecha: {0} animales con registros",
  ),
  needed_not_asked: caution(
    "",
    "not asked how many more records would halve the interval: the flock is too large",
    "no se preguntó cuántos registros más reducirían el intervalo a la mitad: el rebaño es muy grande",
  ),
  line_inferred: caution("", "line inferred from the pedigree", "línea inferida del pedigrí"),
  line_variance_assumed: caution(
    "lines",
    "only {0} lines: how much lines vary is assumed, a quarter of the additive variance",
    "solo {0} líneas: se supone cuánto varían, un cuarto de la varianza aditiva",
  ),
  too_few_lines: caution(
    "lines,needed",
    "too few lines to compare ({0}; {1} needed)",
    "muy pocas líneas para comparar ({0}; se necesitan {1})",
  ),
  reliability_too_low: caution(
    "least,scores",
    "no animal's value reaches a reliability of {0}: it would take about {1} scores of the animal itself, or scored kin",
    "ningún valor alcanza una fiabilidad de {0}: harían falta unas {1} calificaciones del propio animal, o parientes calificados",
  ),
  not_heritable_here: caution(
    "",
    "these records do not show that it is inherited",
    "estos registros no muestran que se herede",
  ),
  raw_means: caution(
    "",
    "plain means, not yet parted from pen, age and foot",
    "promedios simples, sin separar de corral, edad y pata",
  ),
  intervals_overlap: caution(
    "",
    "all intervals overlap: the order is not evidence",
    "todos los intervalos se cruzan: el orden no es evidencia",
  ),
  season_so_far: caution("", "season so far", "temporada hasta ahora"),
  own_rate_few: caution(
    "intervals",
    "rests on {0} intervals of its own, the rest on the flock's",
    "se apoya en {0} intervalos propios, el resto en los del rebaño",
  ),
  flock_rate: caution(
    "",
    "from the flock's growth: none of its own",
    "por el crecimiento del rebaño: sin registro propio",
  ),
  late_in_kid: caution(
    "",
    "within 6 weeks of kidding: handle as little as possible, never turn over",
    "a menos de 6 semanas del parto: manéjela lo menos posible, nunca la voltee",
  ),
  in_stages: caution(
    "",
    "take down in stages, 3 to 14 days apart",
    "baje por etapas, con 3 a 14 días entre ellas",
  ),
  vet_first: caution("", "vet or trained trimmer first", "primero el veterinario o un recortador capacitado"),
  vet_today: caution("", "vet today", "veterinario hoy"),
  look_first_trim_last: caution(
    "",
    "look at first, trim last; own place, own tools",
    "revísela primero, recórtela al final; lugar y herramientas aparte",
  ),
  same_animals_again: caution(
    "animals",
    "from scores of {0} goats, some of them more than once",
    "con calificaciones de {0} cabras, algunas más de una vez",
  ),
  gaps_differ: caution(
    "days,other",
    "scored every {0} days against every {1}: new cases seen are not alike",
    "calificadas cada {0} días frente a cada {1}: los casos nuevos vistos no son comparables",
  ),
  all_scored_alike: caution(
    "",
    "both scorers gave one and the same score throughout",
    "ambos observadores dieron siempre la misma calificación",
  ),
  ruler_floor: caution(
    "",
    "readings agree better than their ruler can be read: limits are widened to its step",
    "las lecturas concuerdan más de lo que permite la regla: los límites se ensanchan a su paso",
  ),
  found_alike: caution(
    "",
    "no difference found beyond chance: a true one may be hidden",
    "sin diferencia más allá del azar: puede ocultarse una verdadera",
  ),
  not_converged: caution("", "the model did not settle: no figure", "el modelo no se asentó: sin cifra"),
} as const satisfies Record<string, Caution>;
