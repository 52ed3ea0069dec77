import { date, meaning, required, site, words } from "../columns.ts";
import type { Column, Kind, Words } from "../kind.ts";
import type { QuantityId } from "../units.ts";

const measure = (
  name: string,
  quantity: QuantityId,
  least: number,
  most: number,
  headers: Words,
  en: string,
  es: string,
): Column => ({
  name,
  type: "number",
  quantity,
  bounds: { least, most, source: "project default: beyond weather on record" },
  headers,
  meaning: meaning(en, es),
});

export const weather: Kind = {
  id: "weather",
  table: "weather",
  grain: ["date", "site"],
  meaning: meaning("The weather of a day", "El tiempo de un día"),
  columns: [
    required(date),
    measure(
      "rain_mm",
      "rain",
      0,
      2000,
      words("rain,rainfall,precipitation,precip", "lluvia,precipitación"),
      "Rain, mm",
      "Lluvia, mm",
    ),
    measure(
      "tmin_c",
      "temperature",
      -70,
      60,
      words("tmin,min temp,low,minimum temperature,temp min", "tmín,temp mín,temperatura mínima,mínima"),
      "Lowest temperature, °C",
      "Temperatura mínima, °C",
    ),
    measure(
      "tmax_c",
      "temperature",
      -70,
      60,
      words("tmax,max temp,high,maximum temperature,temp max", "tmáx,temp máx,temperatura máxima,máxima"),
      "Highest temperature, °C",
      "Temperatura máxima, °C",
    ),
    measure(
      "humidity_pct",
      "plainPercent",
      0,
      100,
      words("humidity,rh,relative humidity", "humedad relativa,hr"),
      "Relative humidity, %",
      "Humedad relativa, %",
    ),
    measure(
      "wind_m_s",
      "wind",
      0,
      120,
      words("wind,wind speed", "viento,velocidad del viento"),
      "Wind, m/s at 2 m",
      "Viento, m/s a 2 m",
    ),
    measure(
      "solar_mj_m2",
      "sunshineEnergy",
      0,
      45,
      words("solar,solar radiation,radiation", "radiación,radiación solar"),
      "Solar radiation, MJ per m² and day",
      "Radiación solar, MJ por m² y día",
    ),
    site,
  ],
};
