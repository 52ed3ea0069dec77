import type { Language } from "../../records/language.ts";
import { counter } from "./count.ts";

export interface ForecastWords {
  readonly question: string;
  readonly better: string;
  readonly worse: string;
  readonly alike: string;
  readonly tooFew: string;
  readonly sentence: (forecasts: number, mean: string, seen: string) => string;
  readonly brier: (score: string, rule: string, difference: string) => string;
  readonly axis: string;
  readonly measure: string;
  readonly exact: string;
  readonly allForecasts: (mean: string) => string;
  readonly tenth: (forecast: string, seen: string, forecasts: number) => string;
  readonly rests: (forecasts: number, animals: number) => string;
  readonly columns: Readonly<Record<"forecast" | "forecasts" | "seen" | "brier" | "rule", string>>;
}

const en = counter("en");
const es = counter("es");

export const forecastWords: Readonly<Record<Language, ForecastWords>> = {
  en: {
    question: "Can the forecast of who needs trimming be trusted?",
    better: "On this flock's own past the forecast beat looking every eight weeks",
    worse: "On this flock's own past looking every eight weeks beat the forecast",
    alike: "On this flock's own past the forecast did no better than looking every eight weeks",
    tooFew: "Too few past looks to score the forecast on",
    sentence: (forecasts, mean, seen) =>
      `Over ${en(forecasts, "past forecast", "past forecasts")}, each from earlier records alone, the chance of a claw past the limit was put at ${mean} on average; ${seen} of the looks found one.`,
    brier: (score, rule, difference) =>
      `Brier score ${score} against ${rule} of the eight-week rule (0 is perfect; difference ${difference}).`,
    axis: "forecast chance that a claw is past the limit",
    measure: "looks that found one, with 95 % limits",
    exact: "as forecast",
    allForecasts: (mean) => `all: ${mean}`,
    tenth: (forecast, seen, forecasts) =>
      `forecast ${forecast}: seen ${seen} (${en(forecasts, "forecast", "forecasts")})`,
    rests: (forecasts, animals) =>
      `${en(forecasts, "forecast", "forecasts")} of ${en(animals, "goat", "goats")}, all seasons`,
    columns: {
      forecast: "Mean forecast",
      forecasts: "Forecasts",
      seen: "Seen, 95 % limits",
      brier: "Brier score",
      rule: "Eight-week rule",
    },
  },
  es: {
    question: "¿Se puede confiar en el pronóstico de quién necesita recorte?",
    better: "En el propio pasado del rebaño el pronóstico superó a revisar cada ocho semanas",
    worse: "En el propio pasado del rebaño revisar cada ocho semanas superó al pronóstico",
    alike: "En el propio pasado del rebaño el pronóstico no fue mejor que revisar cada ocho semanas",
    tooFew: "Muy pocas revisiones pasadas para evaluar el pronóstico",
    sentence: (forecasts, mean, seen) =>
      `En ${es(forecasts, "pronóstico pasado", "pronósticos pasados")}, hechos solo con registros anteriores, la probabilidad de una pezuña pasada fue de ${mean} en promedio; ${seen} de las revisiones halló una.`,
    brier: (score, rule, difference) =>
      `Puntuación de Brier ${score} contra ${rule} de la regla de ocho semanas (0 es perfecta; diferencia ${difference}).`,
    axis: "probabilidad pronosticada de una pezuña pasada",
    measure: "revisiones que hallaron una, con límites del 95 %",
    exact: "según lo pronosticado",
    allForecasts: (mean) => `todos: ${mean}`,
    tenth: (forecast, seen, forecasts) =>
      `pronóstico ${forecast}: visto ${seen} (${es(forecasts, "pronóstico", "pronósticos")})`,
    rests: (forecasts, animals) =>
      `${es(forecasts, "pronóstico", "pronósticos")} de ${es(animals, "cabra", "cabras")}, todas las temporadas`,
    columns: {
      forecast: "Pronóstico medio",
      forecasts: "Pronósticos",
      seen: "Visto, límites del 95 %",
      brier: "Puntuación de Brier",
      rule: "Regla de ocho semanas",
    },
  },
};
