import { type Book, quoteText } from "../book/book.ts";
import { type DayNumber, dayOfYear } from "../records/days.ts";
import type { Flock } from "../records/flock.ts";
import { dayEvapotranspiration } from "./evapotranspiration.ts";
import { surfaceSoils, surfaceWetness } from "./surface-water-balance.ts";
import {
  calibrateWetness,
  fixedCutPoints,
  type ScoredDay,
  type WetnessCalibration,
} from "./wetness-from-weather.ts";

/** Soil of a flock that names none: the middle of the table. Project default. */
const DEFAULT_SOIL = "loam";
/** Ground that rain reaches: only there do cut points stand in for a calibration. */
const OPEN_GROUND = ["pasture", "rocky range", "dry lot"];

/**
 * Fills `exposure.weather_day` (reference evapotranspiration and surface wetness of each site's days, from the
 * weather sheet) and `exposure.pen_weather_wetness` (what each pen's wetness would have been scored, from them). A
 * flock without latitude or weather has no rows: neither can be worked out.
 */
export async function fillWeatherWetness(book: Book, flocks: readonly Flock[]): Promise<void> {
  await book.run(`
    CREATE OR REPLACE TABLE exposure.weather_day (flock VARCHAR, site VARCHAR, day DATE, rain_mm DOUBLE,
      reference_evapotranspiration_mm DOUBLE, method VARCHAR, surface_wetness DOUBLE);
    CREATE OR REPLACE TABLE exposure.pen_weather_wetness (flock VARCHAR, pen VARCHAR, day DATE, wetness DOUBLE, calibrated VARCHAR)`);
  for (const flock of flocks) {
    if (flock.settings.latitude === undefined) continue;
    const sites = await readSites(book, flock);
    if (sites.length === 0) continue;
    for (const site of sites) await writeSite(book, flock.id, site);
    await writePens(book, flock.id, sites);
  }
}

/** The weather of one site, one entry a day without gaps. */
interface SiteWeather {
  readonly site: string | null;
  readonly first: DayNumber;
  readonly rain: Float64Array;
  readonly evapotranspiration: Float64Array;
  readonly methods: (string | null)[];
  readonly wetness: Float64Array;
}

interface WeatherRow {
  site: string | null;
  day: DayNumber;
  rain: number | null;
  lowest: number | null;
  highest: number | null;
  humidity: number | null;
  wind: number | null;
  solar: number | null;
}

async function readSites(book: Book, flock: Flock): Promise<SiteWeather[]> {
  const rows = await book.rows<WeatherRow>(
    `SELECT site, day_no("date") AS day, CAST(avg(rain_mm) AS DOUBLE) AS rain, CAST(avg(tmin_c) AS DOUBLE) AS lowest,
       CAST(avg(tmax_c) AS DOUBLE) AS highest, CAST(avg(humidity_pct) AS DOUBLE) AS humidity,
       CAST(avg(wind_m_s) AS DOUBLE) AS wind, CAST(avg(solar_mj_m2) AS DOUBLE) AS solar
     FROM herd.weather WHERE flock = ${quoteText(flock.id)} GROUP BY ALL ORDER BY site, day`,
  );
  const bySite = new Map<string | null, WeatherRow[]>();
  for (const row of rows) {
    const site = bySite.get(row.site);
    if (site) site.push(row);
    else bySite.set(row.site, [row]);
  }
  return [...bySite].map(([site, days]) => siteWeather(flock, site, days));
}

function siteWeather(flock: Flock, site: string | null, rows: readonly WeatherRow[]): SiteWeather {
  const first = rows[0]!.day;
  const days = rows.at(-1)!.day - first + 1;
  const rain = new Float64Array(days).fill(Number.NaN);
  const evapotranspiration = new Float64Array(days).fill(Number.NaN);
  const methods = new Array<string | null>(days).fill(null);
  const { latitude = 0, elevation_m: elevation = 0, soil = DEFAULT_SOIL } = flock.settings;
  for (const row of rows) {
    const d = row.day - first;
    rain[d] = row.rain ?? Number.NaN;
    const day = dayEvapotranspiration(
      {
        dayOfYear: dayOfYear(row.day),
        lowest: row.lowest ?? Number.NaN,
        highest: row.highest ?? Number.NaN,
        humidity: row.humidity ?? Number.NaN,
        wind: row.wind ?? Number.NaN,
        solar: row.solar ?? Number.NaN,
      },
      latitude,
      elevation,
    );
    if (day === null) continue;
    evapotranspiration[d] = day.millimetres;
    methods[d] = day.method;
  }
  const wetness = surfaceWetness(surfaceSoils[soil], rain, evapotranspiration);
  return { site, first, rain, evapotranspiration, methods, wetness };
}

async function writeSite(book: Book, flock: string, weather: SiteWeather): Promise<void> {
  const days = weather.rain.length;
  await book.load("exposure.weather_day", [
    { name: "flock", type: "text", values: new Array<string>(days).fill(flock) },
    { name: "site", type: "text", values: new Array<string | null>(days).fill(weather.site) },
    { name: "day", type: "day", values: Float64Array.from({ length: days }, (_, d) => weather.first + d) },
    { name: "rain_mm", type: "number", values: weather.rain },
    { name: "reference_evapotranspiration_mm", type: "number", values: weather.evapotranspiration },
    { name: "method", type: "text", values: weather.methods },
    { name: "surface_wetness", type: "number", values: weather.wetness },
  ]);
}

async function writePens(book: Book, flock: string, sites: readonly SiteWeather[]): Promise<void> {
  const pens = await book.rows<{ pen: string; site: string | null; ground: string | null }>(
    `SELECT pen, last(site ORDER BY "from" NULLS FIRST) FILTER (site IS NOT NULL) AS site,
       last(ground ORDER BY "from" NULLS FIRST) FILTER (ground IS NOT NULL) AS ground
     FROM (SELECT flock, pen, site, ground, "from" FROM herd.pen UNION ALL SELECT flock, pen, NULL, NULL, NULL FROM exposure.animal_pen
       UNION ALL SELECT flock, pen, NULL, NULL, NULL FROM herd.ground)
     WHERE flock = ${quoteText(flock)} AND pen IS NOT NULL GROUP BY pen ORDER BY pen`,
  );
  const scores = await book.rows<{ pen: string | null; day: DayNumber; score: number }>(
    `SELECT pen, day_no("date") AS day, avg(CAST(wetness AS DOUBLE)) AS score FROM herd.ground WHERE flock = ${quoteText(flock)} GROUP BY ALL ORDER BY pen, day`,
  );
  const scoredDays = (weather: SiteWeather, pen: string | null): ScoredDay[] =>
    scores.flatMap((score) => {
      const wetness = weather.wetness[score.day - weather.first];
      const wanted = pen === null || score.pen === pen;
      return wanted && wetness !== undefined && !Number.isNaN(wetness)
        ? [{ weatherWetness: wetness, score: score.score }]
        : [];
    });
  for (const { pen, site, ground } of pens) {
    const weather =
      sites.find((one) => one.site === site) ??
      sites.find((one) => one.site === null) ??
      (sites.length === 1 ? sites[0] : undefined);
    if (weather === undefined) continue;
    const own = scoredDays(weather, pen);
    const open = ground === null || OPEN_GROUND.includes(ground);
    const calibration =
      calibrateWetness(own, "pen") ??
      (open ? (calibrateWetness(scoredDays(weather, null), "flock") ?? fixedCutPoints) : null);
    if (calibration !== null) await writePen(book, flock, pen, weather, calibration);
  }
}

async function writePen(
  book: Book,
  flock: string,
  pen: string,
  weather: SiteWeather,
  calibration: WetnessCalibration,
): Promise<void> {
  const known = Array.from(weather.wetness.keys()).filter((d) => !Number.isNaN(weather.wetness[d]!));
  if (known.length === 0) return;
  await book.load("exposure.pen_weather_wetness", [
    { name: "flock", type: "text", values: known.map(() => flock) },
    { name: "pen", type: "text", values: known.map(() => pen) },
    { name: "day", type: "day", values: Float64Array.from(known, (d) => weather.first + d) },
    {
      name: "wetness",
      type: "number",
      values: Float64Array.from(known, (d) => calibration.read(weather.wetness[d]!)),
    },
    { name: "calibrated", type: "text", values: known.map(() => calibration.from) },
  ]);
}
