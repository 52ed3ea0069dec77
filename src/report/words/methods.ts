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
  readonly curves: boolean;
  readonly watch: boolean;
  readonly trial: boolean;
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
        : "Growth by group. A linear mixed model of growth over each interval's days, by restricted maximum likelihood (Patterson and Thompson 1971), with random terms for animal, claw, the animal's interval, pen, pen by month and month, and the error of reading; fixed terms for foot, claw, ground, age, class and season. Group figures are averages over the group's own animal-days, and limits are averaged over what the records leave open of the variances.",
      "Lameness. The share of scored goats ever lame in the season has Wilson's limits (1927). The share of scores lame on a day has Wilson's limits on a sample size reduced for repeated scores of one goat. New cases per 100 goat-months have exact Poisson limits (Garwood 1936), widened for goats with several.",
      "Time to retrim. The day on which a claw passes the limit is known only to lie between two checks. The share of trims still within the limit was estimated by Turnbull's method (1976) for such interval-censored times, with limits from bootstrap samples of whole goats.",
      facts.associations
        ? "Associations. One model for each outcome: linear for growth, logistic for being lame on a day, complementary log-log for going lame between two scores; pens as fixed effects, goats, months and autocorrelated pen-months as random ones, all conditions of the pens together, adjusted for calendar month, age and class. Slopes within pens over time come from this model, averaged over what the records leave open of its variances; slopes between pens come from a meta-regression of the pens' adjusted means; limits by Student's t with degrees of freedom bounded by the number of pens and pen-months. The exposure of the 28 days after a score stands as a negative control beside that of the 28 days before. False discovery is controlled over all exposures and outcomes asked (Benjamini and Hochberg 1995). E-values (VanderWeele and Ding 2017) say how strong an unrecorded cause would have to be to explain a ratio away. They are associations: what was not recorded may stand behind them."
        : "",
      facts.curves
        ? "Curves. Restricted cubic splines with four knots within pens; a bend is tested by F."
        : "",
      facts.trial
        ? "Study arms. Each unit that was assigned to an arm (pen or goat) counts once, by its mean, and is set against its own records before the study where every unit has them. Goats assigned one by one are compared within their pens. Limits by Student's t; degrees of freedom: units less pens compared within less one, for whole pens units less two."
        : "",
      facts.watch
        ? "Watch over pens. Each pen's lame scores of a month stand against limits three standard errors around the share expected from the season before. A risk-adjusted cumulative sum (Steiner et al. 2000) watches for a doubling of the odds, its limit set by simulation to one false signal in five years."
        : "",
      facts.breedingValues
        ? "Lines and breeding values. An animal model on the pedigree with inbreeding (Meuwissen and Luo 1992), lines as random genetic groups, by restricted maximum likelihood; values are averaged over what the records leave open of the variances."
        : "",
      facts.forecasts
        ? "Forecasts. The chance that a claw is past the limit by a day was scored on the flock's own past, each forecast made from earlier records alone, and set beside a plain rule of eight weeks by the Brier score (1950)."
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
        : "Crecimiento por grupo. Modelo lineal mixto del crecimiento en los días de cada intervalo, por máxima verosimilitud restringida (Patterson y Thompson 1971), con términos aleatorios de animal, pezuña, intervalo del animal, corral, corral por mes y mes, y el error de lectura; términos fijos de pata, pezuña, suelo, edad, clase y temporada. Las cifras de grupo son promedios sobre los animal-días del grupo, y los límites se promedian sobre lo que los registros dejan abierto de las varianzas.",
      "Cojera. La parte de cabras calificadas que cojeó alguna vez lleva límites de Wilson (1927). La parte de calificaciones con cojera en un día lleva límites de Wilson con el tamaño de muestra reducido por calificaciones repetidas de una cabra. Los casos nuevos por 100 cabra-meses llevan límites exactos de Poisson (Garwood 1936), ensanchados por cabras con varios.",
      "Tiempo hasta el siguiente recorte. El día en que una pezuña pasa el límite solo se sabe entre dos revisiones. La parte de recortes aún dentro del límite se estimó con el método de Turnbull (1976) para tiempos censurados por intervalo, con límites de muestras bootstrap de cabras enteras.",
      facts.associations
        ? "Asociaciones. Un modelo por resultado: lineal para el crecimiento, logístico para cojear en un día, log-log complementario para empezar a cojear entre dos calificaciones; corrales como efectos fijos, cabras, meses y corral-meses autocorrelacionados como aleatorios, todas las condiciones de los corrales juntas, ajustado por mes, edad y clase. Las pendientes dentro de cada corral en el tiempo salen de este modelo, promediadas sobre lo que los registros dejan abierto de sus varianzas; las pendientes entre corrales, de una metarregresión de las medias ajustadas de los corrales; límites por la t de Student con grados de libertad acotados por el número de corrales y corral-meses. La exposición de los 28 días posteriores a una calificación es el control negativo junto a la de los 28 anteriores. Se controla el descubrimiento falso sobre todas las exposiciones y resultados preguntados (Benjamini y Hochberg 1995). Los valores E (VanderWeele y Ding 2017) dicen qué tan fuerte tendría que ser una causa no registrada para explicar una razón. Son asociaciones: lo no registrado puede estar detrás."
        : "",
      facts.curves
        ? "Curvas. Splines cúbicos restringidos con cuatro nudos dentro de los corrales; la curvatura se prueba con F."
        : "",
      facts.trial
        ? "Grupos del estudio. Cada unidad asignada a un grupo (corral o cabra) cuenta una vez, por su media, y se compara con sus propios registros anteriores al estudio cuando todas los tienen. Las cabras asignadas una por una se comparan dentro de su corral. Límites por la t de Student; grados de libertad: unidades menos corrales en que se compara menos uno, y con corrales enteros unidades menos dos."
        : "",
      facts.watch
        ? "Vigilancia de corrales. Las calificaciones con cojera de cada corral y mes se comparan con límites a tres errores estándar de la parte esperada por la temporada anterior. Una suma acumulada ajustada por riesgo (Steiner et al. 2000) vigila una duplicación de los momios, con su límite fijado por simulación en una señal falsa cada cinco años."
        : "",
      facts.breedingValues
        ? "Líneas y valores de cría. Modelo animal sobre el pedigrí con consanguinidad (Meuwissen y Luo 1992), las líneas como grupos genéticos aleatorios, por máxima verosimilitud restringida; los valores se promedian sobre lo que los registros dejan abierto de las varianzas."
        : "",
      facts.forecasts
        ? "Pronósticos. La probabilidad de que una pezuña pase el límite para un día se evaluó en el propio pasado del rebaño, cada pronóstico hecho solo con registros anteriores, y junto a una regla simple de ocho semanas con la puntuación de Brier (1950)."
        : "",
      `Todo se calculó con Coronet ${facts.version} a partir de las hojas nombradas en manifest.json, con semilla fija; las mismas hojas dan las mismas cifras.`,
    ].filter((paragraph) => paragraph !== ""),
};
