import type { Caution } from "./cautions.ts";

const entry = (args: string, en: string, es: string): Caution => ({
  args: args === "" ? [] : args.split(","),
  says: { en, es },
});

/** What a reader must know beside the figures of one pairing. */
export const matingCodes = {
  kid_inbred: entry(
    "",
    "a kid would be as inbred as a kid of first cousins, or more (1 in 16)",
    "una cría sería tan consanguínea como una cría de primos hermanos, o más (1 de 16)",
  ),
  kin_by_candidates: entry(
    "",
    "some sires are known only as one of several: kinship is averaged over them by their chances",
    "de algunos padres solo se sabe que son uno de varios: el parentesco se promedia según sus probabilidades",
  ),
  ancestors_unknown: entry(
    "tag,known,of",
    "of the {2} parents and grandparents of {0}, {1} are known: kinship through the others is not seen, so inbreeding can be higher",
    "de los {2} padres y abuelos de {0} se conocen {1}: el parentesco por los demás no se ve, así que la consanguinidad puede ser mayor",
  ),
  no_own_row: entry(
    "tag",
    "{0} has no row of its own among the animals: known as a parent only",
    "{0} no tiene fila propia entre los animales: solo se conoce como padre o madre",
  ),
  sex_unknown: entry("tag", "the sex of {0} is not recorded", "el sexo de {0} no está registrado"),
  left_flock: entry("tag,day", "{0} left the flock on {1}", "{0} dejó el rebaño el {1}"),
  no_value_stored: entry(
    "",
    "no value could be worked out: too few records",
    "no se pudo calcular ningún valor: muy pocos registros",
  ),
  pair_not_worked_out: entry(
    "",
    "how the errors of the two values go together is not known: the widest limits that they allow",
    "no se sabe cómo van juntos los errores de los dos valores: los límites más anchos que permiten",
  ),
} as const satisfies Record<string, Caution>;
