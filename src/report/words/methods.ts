import type { Language } from "../../records/language.ts";

/** What the text on methods says is true of this flock and season. */
export interface MethodFacts {
  readonly flock: string;
  readonly from: string;
  readonly to: string;
  readonly present: string;
  readonly looked: string;
  readonly scale: string | null;
  readonly lameFrom: string;
  readonly scorers: number;
  readonly trimTo: string;
  readonly retrimAt: string;
  readonly rawMeans: boolean;
  readonly associations: boolean;
  readonly breedingValues: boolean;
  readonly forecasts: boolean;
  readonly version: string;
}

/** Methods as paragraphs that can stand in a report; only what was done is told. */
export const methodsText: Readonly<Record<Language, (facts: MethodFacts) => readonly string[]>> = {
  en: (facts) =>
    [
      `Design. Observational study of one goat flock (${facts.flock}) from its routine records, ${facts.from} to ${facts.to}. ${facts.present} goats were present and ${facts.looked} were looked at at least once. No animal was chosen or left out for the study; records that could not be read with certainty were set aside and are counted.`,
      `Measures. Each claw's wall was measured before and after trims with a ruler held against it; a trim was meant to leave ${facts.trimTo} of wall past the pad, and ${facts.retrimAt} was taken as the length at which a claw wants trimming again. Growth is the change of length between two visits over the days between them, net of wear unless a mark in the horn was measured, in length per 30 days. Intervals under 7 days, and changes that no horn can make, were left out and counted.`,
      facts.scale === null
        ? "Gait was not scored."
        : `Gait was scored on the scale ${facts.scale} by ${facts.scorers === 1 ? "one scorer" : `${facts.scorers} scorers`}; a score from ${facts.lameFrom} on counts as lame. Scales are never mixed. Scores given because a goat limped are told apart by their timing and left out of the share lame on a day, and kept for new cases. A case opens at the first sign and closes only by a later look that finds the goat sound.`,
      facts.rawMeans
        ? "Growth by group. Plain means over animals with limits by Student's t; they are not parted from pen, age and foot."
        : "Growth by group. A linear mixed model of growth over each interval's days, by restricted maximum likelihood, with random terms for animal, claw, the animal's interval, pen, pen by month and month, and the error of reading; fixed terms for foot, claw, ground, age, class and season. Group figures are averages over the group's own animal-days, and limits are averaged over what the records leave open of the variances.",
      "Lameness. The share of scored goats ever lame in the season has Wilson's limits (1927). The share of scores lame on a day has Wilson's limits on a sample size reduced for repeated scores of one goat. New cases per 100 goat-months have exact Poisson limits, widened for goats with several.",
      "Time to retrim. The day on which a claw passes the limit is known only to lie between two checks. The share of trims still within the limit was estimated by Turnbull's method (1976) for such interval-censored times, with limits from bootstrap samples of whole goats.",
      facts.associations
        ? "Associations. Slopes within pens over time and between pens are told apart; adjusted for calendar month, age and class; limits by Student's t with degrees of freedom bounded by the number of pens and pen-months. The exposure of the 28 days after a score stands as a negative control beside that of the 28 days before. False discovery is controlled over all exposures and outcomes asked (Benjamini and Hochberg 1995). They are associations: what was not recorded may stand behind them."
        : "",
      facts.breedingValues
        ? "Lines and breeding values. An animal model on the pedigree with inbreeding, lines as random genetic groups, by restricted maximum likelihood; values are averaged over what the records leave open of the variances."
        : "",
      facts.forecasts
        ? "Forecasts. The chance that a claw is past the limit by a day was scored on the flock's own past, each forecast made from earlier records alone, and set beside a plain rule of eight weeks by the Brier score."
        : "",
      `Everything was computed with Coronet ${facts.version} from the sheets named in manifest.json, with a fixed seed; the same sheets give the same figures.`,
    ].filter((paragraph) => paragraph !== ""),
  es: (facts) =>
    [
      `Diseño. Estudio observacional de un rebaño de cabras (${facts.flock}) a partir de sus registros de rutina, del ${facts.from} al ${facts.to}. Hubo ${facts.present} cabras presentes y se revisaron ${facts.looked} al menos una vez. No se eligió ni se excluyó a ningún animal para el estudio; los registros que no se pudieron leer con certeza se apartaron y están contados.`,
      `Medidas. La pared de cada pezuña se midió antes y después de recortar con una regla; un recorte debía dejar ${facts.trimTo} de pared sobre la palma, y ${facts.retrimAt} se tomó como el largo en que una pezuña pide otro recorte. El crecimiento es el cambio de largo entre dos visitas sobre los días entre ellas, descontado el desgaste salvo que se midiera una marca en el casco, en largo por 30 días. Los intervalos de menos de 7 días y los cambios que ningún casco puede tener quedaron fuera y están contados.`,
      facts.scale === null
        ? "No se calificó la marcha."
        : `La marcha se calificó en la escala ${facts.scale} por ${facts.scorers === 1 ? "un observador" : `${facts.scorers} observadores`}; desde ${facts.lameFrom} cuenta como cojera. Las escalas nunca se mezclan. Las calificaciones dadas porque una cabra cojeaba se distinguen por su momento y quedan fuera de la parte coja en un día, pero cuentan para casos nuevos. Un caso se abre con el primer signo y solo se cierra cuando una revisión posterior la halla sana.`,
      facts.rawMeans
        ? "Crecimiento por grupo. Promedios simples sobre animales con límites por la t de Student; no se separan de corral, edad y pata."
        : "Crecimiento por grupo. Modelo lineal mixto del crecimiento en los días de cada intervalo, por máxima verosimilitud restringida, con términos aleatorios de animal, pezuña, intervalo del animal, corral, corral por mes y mes, y el error de lectura; términos fijos de pata, pezuña, suelo, edad, clase y temporada. Las cifras de grupo son promedios sobre los animal-días del grupo, y los límites se promedian sobre lo que los registros dejan abierto de las varianzas.",
      "Cojera. La parte de cabras calificadas que cojeó alguna vez lleva límites de Wilson (1927). La parte de calificaciones con cojera en un día lleva límites de Wilson con el tamaño de muestra reducido por calificaciones repetidas de una cabra. Los casos nuevos por 100 cabra-meses llevan límites exactos de Poisson, ensanchados por cabras con varios.",
      "Tiempo hasta el siguiente recorte. El día en que una pezuña pasa el límite solo se sabe entre dos revisiones. La parte de recortes aún dentro del límite se estimó con el método de Turnbull (1976) para tiempos censurados por intervalo, con límites de muestras bootstrap de cabras enteras.",
      facts.associations
        ? "Asociaciones. Se separan las pendientes dentro de cada corral en el tiempo y entre corrales; ajustadas por mes, edad y clase; límites por la t de Student con grados de libertad acotados por el número de corrales y corral-meses. La exposición de los 28 días posteriores a una calificación es el control negativo junto a la de los 28 anteriores. Se controla el descubrimiento falso sobre todas las exposiciones y resultados preguntados (Benjamini y Hochberg 1995). Son asociaciones: lo no registrado puede estar detrás."
        : "",
      facts.breedingValues
        ? "Líneas y valores de cría. Modelo animal sobre el pedigrí con consanguinidad, las líneas como grupos genéticos aleatorios, por máxima verosimilitud restringida; los valores se promedian sobre lo que los registros dejan abierto de las varianzas."
        : "",
      facts.forecasts
        ? "Pronósticos. La probabilidad de que una pezuña pase el límite para un día se evaluó en el propio pasado del rebaño, cada pronóstico hecho solo con registros anteriores, y junto a una regla simple de ocho semanas con la puntuación de Brier."
        : "",
      `Todo se calculó con Coronet ${facts.version} a partir de las hojas nombradas en manifest.json, con semilla fija; las mismas hojas dan las mismas cifras.`,
    ].filter((paragraph) => paragraph !== ""),
};
