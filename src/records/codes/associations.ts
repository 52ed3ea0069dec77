import type { Caution } from "./cautions.ts";

const entry = (args: string, en: string, es: string): Caution => ({
  args: args === "" ? [] : args.split(","),
  says: { en, es },
});

/** What a slope is for each of, and what must be known beside it. */
export const associationCodes = {
  per_crude_protein: entry(
    "amount",
    "for each {0} percentage point of protein in the dry matter",
    "por cada {0} punto porcentual de proteína en la materia seca",
  ),
  per_copper_diet: entry(
    "amount",
    "for each {0} mg of copper per kg of dry matter, whole diet",
    "por cada {0} mg de cobre por kg de materia seca, dieta completa",
  ),
  per_mineral_copper: entry(
    "amount",
    "for each {0} mg of copper a day from minerals",
    "por cada {0} mg de cobre al día por minerales",
  ),
  per_zinc: entry(
    "amount",
    "for each {0} mg of zinc per kg of dry matter, whole diet",
    "por cada {0} mg de zinc por kg de materia seca, dieta completa",
  ),
  per_wetness: entry("amount", "for each {0} step wetter", "por cada {0} grado más mojado"),
  per_bundle: entry(
    "amount",
    "for each {0} standard deviation of what they share",
    "por cada {0} desviación estándar de lo que comparten",
  ),
  in_bundle: entry(
    "bundle",
    "moves with others so closely that they are asked together: {0}",
    "cambia tan junto con otros que se preguntan juntos: {0}",
  ),
  control_silent: entry(
    "",
    "what came after moves too much with what came before to serve as a check",
    "lo de después cambia demasiado con lo de antes para servir de control",
  ),
  rests_on: entry(
    "left_out",
    "without {0} it points the other way: it rests on one place",
    "sin {0} apunta al revés: descansa en un solo lugar",
  ),
  pens_never_lame: entry(
    "pens",
    "{0} pens without a lame goat say nothing of what differs within them",
    "{0} corrales sin ninguna coja no dicen nada de lo que difiere dentro de ellos",
  ),
  too_few_flocks: entry(
    "flocks,needed",
    "too few flocks to tell ({0}; {1} needed)",
    "muy pocos rebaños para decirlo ({0}; se necesitan {1})",
  ),
  too_few_units: entry(
    "units,needed",
    "too few pens or animals in an arm to tell ({0} in the smaller; {1} or more in each would)",
    "muy pocos corrales o animales en un grupo para decirlo ({0} en el menor; con {1} o más en cada uno sí)",
  ),
  arms_in_separate_pens: entry(
    "",
    "no pen holds goats of both arms, so the arms cannot be told from the pens",
    "ningún corral tiene cabras de ambos grupos, así que los grupos no se distinguen de los corrales",
  ),
  no_records_before: entry(
    "",
    "no records from before the study: what the arms differed by from the start is still in it",
    "sin registros de antes del estudio: lo que los grupos ya diferían sigue dentro",
  ),
  other_scales: entry(
    "",
    "flocks scored on different scales are not compared with each other",
    "rebaños calificados en escalas distintas no se comparan entre sí",
  ),
} as const satisfies Record<string, Caution>;
