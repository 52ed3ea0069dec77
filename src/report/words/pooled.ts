import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";

/** Words of the page of several flocks. */
export interface PooledWords {
  /** The flocks as one, as a title. */
  readonly together: (flocks: number) => string;
  readonly reader: string;
  readonly readerFor: string;
  readonly eachFlock: string;
  readonly allFlocks: string;
  readonly flocksQuestion: string;
  readonly flocksHeading: (flocks: number, goats: number) => string;
  readonly scaleColumn: string;
  readonly notScored: string;
  readonly scale: (scale: string, mark: string) => string;
  readonly profileQuestion: string;
  readonly growthQuestion: string;
  readonly growthHeading: (rate: string) => string;
  readonly growthNone: string;
  readonly growthSentence: (rate: string, goats: number, flocks: number) => string;
  readonly apart: (p: string) => string;
  readonly alike: (p: string) => string;
  readonly typical: (figure: string, from: string, to: string) => string;
  readonly tooFewForOthers: (flocks: number) => string;
  readonly lamenessQuestion: string;
  readonly lamenessHeading: (scales: number) => string;
  readonly lamenessPooled: (lame: number, scored: number, share: string, scale: string) => string;
  readonly lamenessNone: string;
  readonly scalesApart: string;
  readonly onScale: (scale: string, mark: string) => string;
  readonly withinQuestion: string;
  readonly withinHeading: (clear: readonly string[]) => string;
  readonly withinNone: string;
  readonly withinText: string;
  readonly withinAxis: string;
  readonly ratioColumn: string;
  readonly differenceQuestion: Readonly<Record<"growth" | "time_to_retrim", string>>;
  readonly differenceHeading: (clear: readonly string[]) => string;
  readonly differenceSentence: Readonly<
    Record<"growth" | "time_to_retrim", (group: string, effect: string, flocks: number) => string>
  >;
  readonly differenceText: string;
  readonly differenceColumn: string;
  readonly differenceAxis: Readonly<Record<"growth" | "time_to_retrim", (unit: string) => string>>;
  readonly differenceEnds: Readonly<
    Record<"growth" | "time_to_retrim", { readonly less: string; readonly more: string }>
  >;
  readonly flockLeftOut: string;
  readonly besideQuestion: (outcome: string) => string;
  readonly besideHeading: (agreeing: number, of: number) => string;
  readonly besideText: string;
  readonly withoutFlock: (flock: string) => string;
  readonly methodsText: (facts: PooledMethods) => readonly string[];
}

export interface PooledMethods {
  readonly flocks: number;
  readonly from: string;
  readonly to: string;
  readonly present: string;
  readonly scales: readonly string[];
  readonly associations: boolean;
  readonly randomFlock: boolean;
  readonly version: string;
}

const en = counter("en");
const es = counter("es");

const list = (names: readonly string[], and: string): string =>
  names.length < 2 ? (names[0] ?? "") : `${names.slice(0, -1).join(", ")} ${and} ${names.at(-1)}`;

export const pooledWords: Readonly<Record<Language, PooledWords>> = {
  en: {
    together: (flocks) => `${en(flocks, "flock", "flocks")} together`,
    reader: "Study herds",
    readerFor: "For the extension agent: the flocks as one study",
    eachFlock: "Each flock",
    allFlocks: "all flocks together",
    flocksQuestion: "Which flocks are in the study?",
    flocksHeading: (flocks, goats) =>
      `${en(goats, "goat", "goats")} in ${en(flocks, "flock", "flocks")} were there this season`,
    scaleColumn: "Gait scale",
    notScored: "not scored",
    scale: (scale, mark) => `${scale}, lame from ${mark}`,
    profileQuestion: "Who is in the flocks?",
    growthQuestion: "How fast do hooves grow in each flock?",
    growthHeading: (rate) => `Hooves grew ${rate} over all flocks`,
    growthNone: "Fewer than two flocks have a figure of growth this season",
    growthSentence: (rate, goats, flocks) =>
      `Hooves grew ${rate} net of wear, in ${en(goats, "goat", "goats")} of ${en(flocks, "flock", "flocks")}; each flock counts by its goats, and the figure speaks of these flocks only.`,
    apart: (p) =>
      `The flocks lie further apart than their own limits explain (p ${p}), so the common figure is nobody's own.`,
    alike: (p) => `The flocks lie no further apart than their own limits let them (p ${p}).`,
    typical: (figure, from, to) =>
      `Flocks such as these come to ${figure}; one more of them would lie between ${from} and ${to}, 95 times in 100.`,
    tooFewForOthers: (flocks) =>
      `With ${en(flocks, "flock", "flocks")} nothing is said of other flocks: six or more would be needed.`,
    lamenessQuestion: "How much of each flock is lame on a day?",
    lamenessHeading: (scales) =>
      scales === 1
        ? "Share of scores that were lame, flock by flock"
        : `Share of scores that were lame, flock by flock, on ${scales} gait scales that are not compared with each other`,
    lamenessPooled: (lame, scored, share, scale) =>
      `On scale ${scale}, ${lame} of ${en(scored, "goat", "goats")} were lame at some time: ${share}.`,
    lamenessNone: "No flock has enough scored goats this season",
    scalesApart:
      "A score of one scale is not that of another, and neither are two marks of lameness on one scale: only flocks that share both have a common figure.",
    onScale: (scale, mark) => `scale ${scale}, lame from ${mark}`,
    withinQuestion: "Within a flock, which goats are lame more often?",
    withinHeading: (clear) =>
      clear.length === 0
        ? "No group was lame clearly more or less often than its own flock's other goats"
        : `Lame clearly more or less often than their own flock's others: ${list(clear, "and")}`,
    withinNone: "No group has 5 scored goats in 3 flocks this season",
    withinText:
      "Each goat is compared with the others of its own flock only, so scales, scorers and a flock's own level of lameness fall out. Not adjusted for anything else.",
    withinAxis: "ratio of odds, with 95 % limits",
    ratioColumn: "Ratio of odds, 95 % limits",
    differenceQuestion: {
      growth: "Within a flock, whose hooves grow faster?",
      time_to_retrim: "Within a flock, whose trims last longer?",
    },
    differenceHeading: (clear) =>
      clear.length === 0
        ? "No group stands clear of its own flock's other goats"
        : `Clear of their own flock's other goats: ${list(clear, "and")}`,
    differenceSentence: {
      growth: (group, effect, flocks) =>
        `${group}: ${effect} beside the flock's other goats, over ${en(flocks, "flock", "flocks")}.`,
      time_to_retrim: (group, effect, flocks) =>
        `${group}: trims lasted ${effect} times as long as those of the flock's other goats, over ${en(flocks, "flock", "flocks")}.`,
    },
    differenceText:
      "Each goat is compared with the others of its own flock only, growth in the same month; flocks are the units of the common figure. Not adjusted for anything else, so what goes with a group may stand behind it.",
    differenceColumn: "Against the others, 95 % limits",
    differenceAxis: {
      growth: (unit) => `difference of growth, ${unit} a month, with 95 % limits`,
      time_to_retrim: () => "ratio of the time a trim lasts, with 95 % limits",
    },
    differenceEnds: {
      growth: { less: "slower", more: "faster" },
      time_to_retrim: { less: "shorter", more: "longer" },
    },
    flockLeftOut: "One flock left out: lowest and highest",
    besideQuestion: (outcome) => `Does each flock say the same of ${outcome}?`,
    besideHeading: (agreeing, of) =>
      of === 0
        ? "No single flock has a slope of its own to set beside the common one"
        : `${agreeing} of ${en(of, "flock's slope points", "flocks' slopes point")} the way the common one does`,
    besideText:
      "Slopes within pens over time. The common one holds each pen, and so each flock, at its own level; the hollow ones are what it comes to without one flock at a time.",
    withoutFlock: (flock) => `all but ${flock}`,
    methodsText: ({ flocks, from, to, present, scales, associations, randomFlock, version }) => [
      `${en(flocks, "goat flock was", "goat flocks were")} observed from ${from} to ${to}; ${present} goats were present on at least one day. ${
        scales.length > 1
          ? `Gait was scored on different scales (${list(scales, "and")}); shares are given scale by scale and never pooled across scales.`
          : ""
      }`.trim(),
      "Hoof growth of each flock was estimated by its own linear mixed model; the common figure is the mean of the flocks' estimates weighted by goats measured, its limits from the flocks' own. Counts of goats and lesions were added up. Cochran's Q tells whether flocks lie further apart than their own limits.",
      randomFlock
        ? "With six flocks or more a random term for flocks gave the mean of flocks such as these (Paule and Mandel's variance between flocks, Knapp and Hartung's limits) and the range of one more."
        : "With fewer than six flocks flock was a fixed effect, and nothing is said of other flocks.",
      "Odds of lameness between groups of goats were compared within flocks and put together by Mantel and Haenszel's ratio; limits of ground by the jackknife over flocks. Growth (within months) and time to retrim (accelerated failure time) of groups were compared within flocks with goats as clusters, and put together with flocks as units (Paule and Mandel; Knapp and Hartung).",
      ...(associations
        ? [
            "Associations with conditions of pens were estimated from all flocks at once with every pen, and so every flock, at a level of its own and months of each flock apart; slopes between pens were taken within flocks, slopes between flocks only from five flocks on. Each flock was left out in turn.",
          ]
        : []),
      `Coronet ${version} was used.`,
    ],
  },
  es: {
    together: (flocks) => `${es(flocks, "rebaño", "rebaños")} en conjunto`,
    reader: "Rebaños en estudio",
    readerFor: "Para el agente de extensión: los rebaños como un solo estudio",
    eachFlock: "Cada rebaño",
    allFlocks: "todos los rebaños",
    flocksQuestion: "¿Qué rebaños están en el estudio?",
    flocksHeading: (flocks, goats) =>
      `${es(goats, "cabra estuvo", "cabras estuvieron")} en ${es(flocks, "rebaño", "rebaños")} esta temporada`,
    scaleColumn: "Escala de marcha",
    notScored: "sin calificar",
    scale: (scale, mark) => `${scale}, coja desde ${mark}`,
    profileQuestion: "¿Quién está en los rebaños?",
    growthQuestion: "¿Cuánto crecen las pezuñas en cada rebaño?",
    growthHeading: (rate) => `Las pezuñas crecieron ${rate} en todos los rebaños`,
    growthNone: "Menos de dos rebaños tienen cifra de crecimiento esta temporada",
    growthSentence: (rate, goats, flocks) =>
      `Las pezuñas crecieron ${rate} descontado el desgaste, en ${es(goats, "cabra", "cabras")} de ${es(flocks, "rebaño", "rebaños")}; cada rebaño cuenta por sus cabras, y la cifra habla solo de estos rebaños.`,
    apart: (p) =>
      `Los rebaños distan más de lo que explican sus propios límites (p ${p}): la cifra común no es la de ninguno.`,
    alike: (p) => `Los rebaños no distan más de lo que permiten sus propios límites (p ${p}).`,
    typical: (figure, from, to) =>
      `Rebaños como estos llegan a ${figure}; uno más estaría entre ${from} y ${to}, 95 veces de cada 100.`,
    tooFewForOthers: (flocks) =>
      `Con ${es(flocks, "rebaño", "rebaños")} no se dice nada de otros rebaños: harían falta seis o más.`,
    lamenessQuestion: "¿Cuánto de cada rebaño cojea en un día?",
    lamenessHeading: (scales) =>
      scales === 1
        ? "Parte de los puntajes con cojera, rebaño por rebaño"
        : `Parte de los puntajes con cojera, rebaño por rebaño, en ${scales} escalas que no se comparan entre sí`,
    lamenessPooled: (lame, scored, share, scale) =>
      `En la escala ${scale}, ${lame} de ${es(scored, "cabra", "cabras")} cojearon alguna vez: ${share}.`,
    lamenessNone: "Ningún rebaño tiene bastantes cabras calificadas esta temporada",
    scalesApart:
      "Un puntaje de una escala no es el de otra, ni lo son dos marcas de cojera en una misma escala: solo los rebaños que comparten ambas tienen una cifra común.",
    onScale: (scale, mark) => `escala ${scale}, coja desde ${mark}`,
    withinQuestion: "Dentro de un rebaño, ¿qué cabras cojean más a menudo?",
    withinHeading: (clear) =>
      clear.length === 0
        ? "Ningún grupo cojeó claramente más o menos que las demás cabras de su propio rebaño"
        : `Cojearon claramente más o menos que las demás de su rebaño: ${list(clear, "y")}`,
    withinNone: "Ningún grupo tiene 5 cabras calificadas en 3 rebaños esta temporada",
    withinText:
      "Cada cabra se compara solo con las demás de su propio rebaño, así que escalas, observadores y el nivel propio de cojera del rebaño no influyen. Sin ajustar por nada más.",
    withinAxis: "razón de momios, con límites de 95 %",
    ratioColumn: "Razón de momios, límites de 95 %",
    differenceQuestion: {
      growth: "Dentro de un rebaño, ¿a cuáles les crecen más rápido las pezuñas?",
      time_to_retrim: "Dentro de un rebaño, ¿a cuáles les dura más el recorte?",
    },
    differenceHeading: (clear) =>
      clear.length === 0
        ? "Ningún grupo se distingue con claridad de las demás cabras de su rebaño"
        : `Se distinguen de las demás de su rebaño: ${list(clear, "y")}`,
    differenceSentence: {
      growth: (group, effect, flocks) =>
        `${group}: ${effect} frente a las demás cabras del rebaño, en ${es(flocks, "rebaño", "rebaños")}.`,
      time_to_retrim: (group, effect, flocks) =>
        `${group}: el recorte duró ${effect} veces lo que en las demás cabras del rebaño, en ${es(flocks, "rebaño", "rebaños")}.`,
    },
    differenceText:
      "Cada cabra se compara solo con las demás de su propio rebaño, el crecimiento en el mismo mes; los rebaños son las unidades de la cifra común. Sin ajustar por nada más: lo que acompaña a un grupo puede estar detrás.",
    differenceColumn: "Frente a las demás, límites de 95 %",
    differenceAxis: {
      growth: (unit) => `diferencia de crecimiento, ${unit} al mes, con límites de 95 %`,
      time_to_retrim: () => "razón de lo que dura un recorte, con límites de 95 %",
    },
    differenceEnds: {
      growth: { less: "más lento", more: "más rápido" },
      time_to_retrim: { less: "menos", more: "más" },
    },
    flockLeftOut: "Sin un rebaño: la más baja y la más alta",
    besideQuestion: (outcome) => `¿Dice cada rebaño lo mismo de ${outcome}?`,
    besideHeading: (agreeing, of) =>
      of === 0
        ? "Ningún rebaño tiene una pendiente propia que poner junto a la común"
        : `${agreeing} de ${es(of, "pendiente de rebaño apunta", "pendientes de rebaños apuntan")} hacia donde la común`,
    besideText:
      "Pendientes dentro de corrales en el tiempo. La común deja a cada corral, y así a cada rebaño, en su propio nivel; los huecos son lo que queda sin un rebaño cada vez.",
    withoutFlock: (flock) => `todos menos ${flock}`,
    methodsText: ({ flocks, from, to, present, scales, associations, randomFlock, version }) => [
      `Se observaron ${es(flocks, "rebaño", "rebaños")} de cabras del ${from} al ${to}; ${present} cabras estuvieron presentes al menos un día. ${
        scales.length > 1
          ? `La marcha se calificó en escalas distintas (${list(scales, "y")}); las partes se dan escala por escala y nunca se juntan.`
          : ""
      }`.trim(),
      "El crecimiento del casco de cada rebaño se estimó con su propio modelo lineal mixto; la cifra común es la media de las estimaciones ponderada por cabras medidas, con límites a partir de los de cada rebaño. Los conteos de cabras y lesiones se sumaron. La Q de Cochran dice si los rebaños distan más que sus propios límites.",
      randomFlock
        ? "Con seis rebaños o más, un término aleatorio de rebaño dio la media de rebaños como estos (varianza entre rebaños de Paule y Mandel, límites de Knapp y Hartung) y el intervalo de uno más."
        : "Con menos de seis rebaños, el rebaño fue un efecto fijo y no se dice nada de otros rebaños.",
      "Los momios de cojera entre grupos de cabras se compararon dentro de cada rebaño y se juntaron con la razón de Mantel y Haenszel; los límites de suelo, por navaja (jackknife) sobre rebaños. El crecimiento (dentro de cada mes) y el tiempo hasta el recorte (tiempo de falla acelerado) de los grupos se compararon dentro de cada rebaño, con las cabras como conglomerados, y se unieron con los rebaños como unidades (Paule y Mandel; Knapp y Hartung).",
      ...(associations
        ? [
            "Las asociaciones con condiciones de los corrales se estimaron con todos los rebaños a la vez, con cada corral, y así cada rebaño, en su propio nivel y los meses de cada rebaño aparte; las pendientes entre corrales se tomaron dentro de cada rebaño, y entre rebaños solo desde cinco. Cada rebaño se dejó fuera por turno.",
          ]
        : []),
      `Se usó Coronet ${version}.`,
    ],
  },
};
