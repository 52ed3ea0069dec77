/*
 * Reference evapotranspiration by Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56 (numbers
 * of equations are its own): temperatures in °C, vapour pressures in kPa, radiation in MJ per m² and day, water in
 * mm per day, wind in m/s, latitude in degrees (south negative), day of the year 1 to 366.
 */

/** Water evaporated by 1 MJ per m², mm (equation 20). */
export const MM_PER_MJ = 0.408;
const SOLAR_CONSTANT = 0.082;
const STEFAN_BOLTZMANN = 4.903e-9;
const GRASS_ALBEDO = 0.23;
const KELVIN = 273.16;

/** Saturation vapour pressure, kPa (equation 11); at the dew point the actual one (equation 14). */
export function saturationVapourPressure(celsius: number): number {
  return 0.6108 * Math.exp((17.27 * celsius) / (celsius + 237.3));
}

/** Mean saturation vapour pressure of a day, kPa (equation 12). */
export function meanSaturationVapourPressure(lowest: number, highest: number): number {
  return (saturationVapourPressure(lowest) + saturationVapourPressure(highest)) / 2;
}

/** Slope of the saturation vapour pressure curve, kPa per °C (equation 13). */
export function vapourPressureSlope(celsius: number): number {
  return (4098 * saturationVapourPressure(celsius)) / (celsius + 237.3) ** 2;
}

/** Pressure of the air at a height above the sea, kPa (equation 7). */
export function atmosphericPressure(elevationM: number): number {
  return 101.3 * ((293 - 0.0065 * elevationM) / 293) ** 5.26;
}

/** Psychrometric constant, kPa per °C, from the air's pressure in kPa (equation 8). */
export function psychrometricConstant(pressure: number): number {
  return 0.665e-3 * pressure;
}

/** Actual vapour pressure, kPa, from a ventilated psychrometer (equations 15 and 16). */
export function vapourPressureFromPsychrometer(dry: number, wet: number, pressure: number): number {
  return saturationVapourPressure(wet) - 0.000662 * pressure * (dry - wet);
}

/** Actual vapour pressure, kPa, from a day's highest and lowest relative humidity, % (equation 17). */
export function vapourPressureFromHumidities(
  lowest: number,
  highest: number,
  mostHumidity: number,
  leastHumidity: number,
): number {
  const atLowest = (saturationVapourPressure(lowest) * mostHumidity) / 100;
  return (atLowest + (saturationVapourPressure(highest) * leastHumidity) / 100) / 2;
}

/** Actual vapour pressure, kPa, from a day's mean relative humidity, % (equation 19). */
export function vapourPressureFromMeanHumidity(lowest: number, highest: number, humidity: number): number {
  return (humidity / 100) * meanSaturationVapourPressure(lowest, highest);
}

/** Wind at 2 m from wind measured at another height, m/s (equation 47). */
export function windAtTwoMetres(wind: number, heightM: number): number {
  return (wind * 4.87) / Math.log(67.8 * heightM - 5.42);
}

/** Latitude in radians (equation 22). */
export function latitudeRadians(latitude: number): number {
  return (Math.PI / 180) * latitude;
}

/** Inverse relative distance of earth and sun (equation 23). */
export function inverseRelativeDistance(dayOfYear: number): number {
  return 1 + 0.033 * Math.cos((2 * Math.PI * dayOfYear) / 365);
}

/** Solar declination, radians (equation 24). */
export function solarDeclination(dayOfYear: number): number {
  return 0.409 * Math.sin((2 * Math.PI * dayOfYear) / 365 - 1.39);
}

/** Sunset hour angle, radians (equation 25); 0 in the polar night, π where the sun does not set. */
export function sunsetHourAngle(latitude: number, dayOfYear: number): number {
  const cosine = -Math.tan(latitudeRadians(latitude)) * Math.tan(solarDeclination(dayOfYear));
  return Math.acos(Math.min(1, Math.max(-1, cosine)));
}

/** Extraterrestrial radiation (equation 21). */
export function extraterrestrialRadiation(latitude: number, dayOfYear: number): number {
  const phi = latitudeRadians(latitude);
  const delta = solarDeclination(dayOfYear);
  const sunset = sunsetHourAngle(latitude, dayOfYear);
  return (
    ((24 * 60) / Math.PI) *
    SOLAR_CONSTANT *
    inverseRelativeDistance(dayOfYear) *
    (sunset * Math.sin(phi) * Math.sin(delta) + Math.cos(phi) * Math.cos(delta) * Math.sin(sunset))
  );
}

/** Hours of daylight (equation 34). */
export function daylightHours(latitude: number, dayOfYear: number): number {
  return (24 / Math.PI) * sunsetHourAngle(latitude, dayOfYear);
}

/** Solar radiation from hours of sunshine, with the coefficients for places without their own (equation 35). */
export function solarRadiationFromSunshine(
  extraterrestrial: number,
  sunshineHours: number,
  daylight: number,
): number {
  return (0.25 + 0.5 * (sunshineHours / daylight)) * extraterrestrial;
}

/** Solar radiation under a clear sky (equation 37). */
export function clearSkyRadiation(extraterrestrial: number, elevationM: number): number {
  return (0.75 + 2e-5 * elevationM) * extraterrestrial;
}

/** Net shortwave radiation over grass (equation 38). */
export function netShortwaveRadiation(solar: number): number {
  return (1 - GRASS_ALBEDO) * solar;
}

/** Net outgoing longwave radiation (equation 39); solar radiation counts for at most that of a clear sky. */
export function netLongwaveRadiation(
  lowest: number,
  highest: number,
  vapourPressure: number,
  solar: number,
  clearSky: number,
): number {
  const emitted = (STEFAN_BOLTZMANN * ((highest + KELVIN) ** 4 + (lowest + KELVIN) ** 4)) / 2;
  const cloudiness = 1.35 * Math.min(1, clearSky > 0 ? solar / clearSky : 1) - 0.35;
  return emitted * (0.34 - 0.14 * Math.sqrt(vapourPressure)) * cloudiness;
}

/** Heat going into the soil in a month, from the mean temperatures of the months before and after (equation 43). */
export function soilHeatFlux(monthBefore: number, monthAfter: number): number {
  return 0.07 * (monthAfter - monthBefore);
}

/** The same where the month after is not known: from the month before and the month itself (equation 44). */
export function soilHeatFluxToDate(monthBefore: number, month: number): number {
  return 0.14 * (month - monthBefore);
}

/** Solar radiation from the day's range of temperature, inland (equation 50, adjustment coefficient 0.16). */
export function solarRadiationFromTemperature(
  extraterrestrial: number,
  lowest: number,
  highest: number,
): number {
  return 0.16 * Math.sqrt(Math.max(0, highest - lowest)) * extraterrestrial;
}

/** Reference evapotranspiration from temperatures alone, mm per day (equation 52: Hargreaves). */
export function hargreavesEvapotranspiration(
  lowest: number,
  highest: number,
  extraterrestrial: number,
): number {
  const mean = (lowest + highest) / 2;
  const range = Math.sqrt(Math.max(0, highest - lowest));
  return Math.max(0, 0.0023 * (mean + 17.8) * range * MM_PER_MJ * extraterrestrial);
}

export interface PenmanMonteithInput {
  /** Mean of the highest and the lowest. */
  readonly meanTemperature: number;
  readonly netRadiation: number;
  /** 0 for a day (equation 42). */
  readonly soilHeat: number;
  readonly windAtTwoMetres: number;
  readonly saturationVapourPressure: number;
  readonly vapourPressure: number;
  readonly psychrometricConstant: number;
}

/** Reference evapotranspiration, mm per day (equation 6: Penman-Monteith over grass). */
export function penmanMonteithEvapotranspiration(input: PenmanMonteithInput): number {
  const { meanTemperature, windAtTwoMetres: wind, psychrometricConstant: gamma } = input;
  const slope = vapourPressureSlope(meanTemperature);
  const energy = MM_PER_MJ * slope * (input.netRadiation - input.soilHeat);
  const deficit = input.saturationVapourPressure - input.vapourPressure;
  const drying = (gamma * 900 * wind * deficit) / (meanTemperature + 273);
  return (energy + drying) / (slope + gamma * (1 + 0.34 * wind));
}

/** What a weather sheet may say of a day; NaN where it says nothing. */
export interface DayWeather {
  readonly dayOfYear: number;
  readonly lowest: number;
  readonly highest: number;
  /** Mean relative humidity, %. */
  readonly humidity: number;
  /** At 2 m. */
  readonly wind: number;
  readonly solar: number;
}

export interface DayEvapotranspiration {
  readonly millimetres: number;
  readonly method: "penman-monteith" | "hargreaves";
}

/**
 * Reference evapotranspiration of a day: Penman-Monteith where humidity, wind and solar radiation are given,
 * Hargreaves where temperatures alone are; null without both temperatures. The lower limit is zero.
 */
export function dayEvapotranspiration(
  weather: DayWeather,
  latitude: number,
  elevationM: number,
): DayEvapotranspiration | null {
  const { dayOfYear, humidity, wind, solar } = weather;
  if (Number.isNaN(weather.lowest) || Number.isNaN(weather.highest)) return null;
  const lowest = Math.min(weather.lowest, weather.highest);
  const highest = Math.max(weather.lowest, weather.highest);
  const extraterrestrial = extraterrestrialRadiation(latitude, dayOfYear);
  if (Number.isNaN(humidity) || Number.isNaN(wind) || Number.isNaN(solar)) {
    return {
      millimetres: hargreavesEvapotranspiration(lowest, highest, extraterrestrial),
      method: "hargreaves",
    };
  }
  const vapourPressure = vapourPressureFromMeanHumidity(lowest, highest, humidity);
  const longwave = netLongwaveRadiation(
    lowest,
    highest,
    vapourPressure,
    solar,
    clearSkyRadiation(extraterrestrial, elevationM),
  );
  const millimetres = penmanMonteithEvapotranspiration({
    meanTemperature: (lowest + highest) / 2,
    netRadiation: netShortwaveRadiation(solar) - longwave,
    soilHeat: 0,
    windAtTwoMetres: wind,
    saturationVapourPressure: meanSaturationVapourPressure(lowest, highest),
    vapourPressure,
    psychrometricConstant: psychrometricConstant(atmosphericPressure(elevationM)),
  });
  return { millimetres: Math.max(0, millimetres), method: "penman-monteith" };
}
