import type { Random } from "../statistics/random.ts";
import type { FlockCalendar } from "./flock-calendar.ts";

/** One temperate, rather wet place's weather, day by day along the calendar. */
export interface DemoWeather {
  readonly rain: Float64Array;
  readonly tmin: Float64Array;
  readonly tmax: Float64Array;
  readonly humidity: Float64Array;
  readonly wind: Float64Array;
  readonly solar: Float64Array;
  /** Water in the top of the ground as a share of what it holds, 0 to 1. */
  readonly soil: Float64Array;
}

const MEAN_TEMPERATURE = 10.5;
const TEMPERATURE_AMPLITUDE = 9.5;
const TOPSOIL_MM = 30;

/** Draws daily weather: an autoregressive temperature, a two-state chain of wet and dry days with gamma rain. */
export function inventWeather(random: Random, calendar: FlockCalendar): DemoWeather {
  const n = calendar.length;
  const weather = {
    rain: new Float64Array(n),
    tmin: new Float64Array(n),
    tmax: new Float64Array(n),
    humidity: new Float64Array(n),
    wind: new Float64Array(n),
    solar: new Float64Array(n),
    soil: new Float64Array(n),
  };
  let departure = 0;
  let wet = false;
  let water = 0.6 * TOPSOIL_MM;
  for (let d = 0; d < n; d++) {
    const warmth = Math.cos(calendar.yearAngle[d]);
    departure = 0.7 * departure + 2.2 * random.normal();
    wet = random.bernoulli(wet ? 0.58 - 0.08 * warmth : 0.27 - 0.06 * warmth);
    const rain = wet ? random.gamma(0.75, 0.11) : 0;
    const mean = MEAN_TEMPERATURE + TEMPERATURE_AMPLITUDE * warmth + departure;
    const halfRange = Math.max(1.5, (wet ? 3.4 : 5.4) + 0.8 * random.normal());
    const clearSky = 18 + 11 * Math.cos(calendar.yearAngle[d] + 0.45);
    const cloud = wet ? 0.32 + 0.18 * random.uniform() : 0.55 + 0.2 * random.uniform();
    const evaporation = Math.max(0.2, 0.2 * clearSky * cloud * Math.max(0.2, (mean + 6) / 28));
    water = Math.min(TOPSOIL_MM, Math.max(0, water + rain - evaporation * (water / TOPSOIL_MM + 0.15)));
    weather.rain[d] = rain;
    weather.tmin[d] = mean - halfRange;
    weather.tmax[d] = mean + halfRange;
    weather.humidity[d] = Math.min(100, Math.max(25, (wet ? 84 : 70) - 6 * warmth + 5 * random.normal()));
    weather.wind[d] = 0.6 + random.gamma(2.5, 1.3);
    weather.solar[d] = clearSky * cloud;
    weather.soil[d] = water / TOPSOIL_MM;
  }
  return weather;
}
