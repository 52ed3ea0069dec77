import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";

export interface RetrimWords {
  readonly question: string;
  readonly heading: (days: string) => string;
  readonly none: string;
  readonly sentence: (days: string, limit: string) => string;
  readonly beyond: (day: number) => string;
  readonly axisDays: string;
  readonly axisShare: string;
  readonly dayColumn: string;
  readonly step: (day: number, share: string) => string;
  readonly unknown: (from: number, to: number) => string;
  readonly median: (days: string) => string;
  readonly allSeasons: string;
  readonly byQuestion: string;
  readonly byHeading: (longest: string, shortest: string, apart: boolean) => string;
  readonly byAxis: string;
  readonly rests: (animals: number, spells: number) => string;
}

const en = counter("en");
const es = counter("es");

export const retrimWords: Readonly<Record<Language, RetrimWords>> = {
  en: {
    question: "How long does a trim last?",
    heading: (days) => `Half of trims were past the limit by day ${days}`,
    none: "Too few checks after trims to say how long one lasts",
    sentence: (days, limit) =>
      `A trim lasts about ${days} days until some claw stands ${limit} past the pad (half of trims, all seasons).`,
    beyond: (day) => `Fewer than half of trims were seen past the limit by day ${day}, the last check`,
    axisDays: "days after the trim",
    axisShare: "share of trims still within the limit, with 95 % limits",
    dayColumn: "Days after the trim",
    step: (day, share) => `day ${day}: ${share} still within the limit`,
    unknown: (from, to) => `day ${from} to ${to}: the checks do not tell when within these days`,
    median: (days) => `half by day ${days}`,
    allSeasons: "All seasons together.",
    byQuestion: "Does a trim last longer on some ground?",
    byHeading: (longest, shortest, apart) =>
      apart
        ? `Trims lasted longest ${longest}, shortest ${shortest}`
        : `No clear difference: trims stood longest ${longest}, but the intervals overlap`,
    byAxis: "days until half of trims were past the limit, with 95 % limits",
    rests: (animals, spells) =>
      `${en(animals, "goat", "goats")}, ${en(spells, "time from a trim to a check", "times from a trim to a check")}`,
  },
  es: {
    question: "¿Cuánto dura un recorte?",
    heading: (days) => `La mitad de los recortes había pasado el límite al día ${days}`,
    none: "Muy pocas revisiones después de recortar para decir cuánto dura",
    sentence: (days, limit) =>
      `Un recorte dura unos ${days} días hasta que alguna pezuña sobresale ${limit} de la palma (la mitad de los recortes, todas las temporadas).`,
    beyond: (day) => `Menos de la mitad de los recortes se vio pasada al día ${day}, la última revisión`,
    axisDays: "días después del recorte",
    axisShare: "parte de los recortes aún dentro del límite, con límites del 95 %",
    dayColumn: "Días después del recorte",
    step: (day, share) => `día ${day}: ${share} aún dentro del límite`,
    unknown: (from, to) => `día ${from} a ${to}: las revisiones no dicen cuándo dentro de estos días`,
    median: (days) => `la mitad al día ${days}`,
    allSeasons: "Todas las temporadas juntas.",
    byQuestion: "¿Dura más un recorte en algún suelo?",
    byHeading: (longest, shortest, apart) =>
      apart
        ? `Los recortes duraron más ${longest} y menos ${shortest}`
        : `Sin diferencia clara: los recortes duraron más ${longest}, pero los intervalos se cruzan`,
    byAxis: "días hasta que la mitad pasó el límite, con límites del 95 %",
    rests: (animals, spells) =>
      `${es(animals, "cabra", "cabras")}, ${es(spells, "periodo de un recorte a una revisión", "periodos de un recorte a una revisión")}`,
  },
};
