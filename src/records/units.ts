/**
 * Units that a sheet may use, each with the number that turns it into the unit kept in the book.
 * A value is kept as `value * factor + offset`; conversion is written here and nowhere else.
 */
export interface Unit {
  /** How the unit is written in a header or beside a value; matched without case. */
  readonly spellings: readonly string[];
  readonly factor: number;
  readonly offset?: number;
}

export interface Quantity {
  /** The unit kept in the book, as data dictionaries print it. */
  readonly kept: string;
  readonly units: readonly Unit[];
}

const length: Quantity = {
  kept: "mm",
  units: [
    { spellings: ["mm", "millimetre", "millimetres", "millimeter", "millimeters", "milímetros"], factor: 1 },
    {
      spellings: ["cm", "centimetre", "centimetres", "centimeter", "centimeters", "centímetros"],
      factor: 10,
    },
    { spellings: ["in", "inch", "inches", '"', "″", "pulgada", "pulgadas", "pulg"], factor: 25.4 },
  ],
};

const share: Quantity = {
  kept: "% of dry matter",
  units: [
    { spellings: ["%", "pct", "percent", "% dm", "% ms", "por ciento", "porcentaje"], factor: 1 },
    { spellings: ["g/kg", "g/kg dm", "g per kg", "g/kg ms"], factor: 0.1 },
  ],
};

const traceMineral: Quantity = {
  kept: "mg/kg",
  units: [
    { spellings: ["mg/kg", "mg/kg dm", "mg per kg", "ppm", "mg/kg ms", "partes por millón"], factor: 1 },
    { spellings: ["g/kg"], factor: 1000 },
    { spellings: ["%", "pct"], factor: 10_000 },
  ],
};

const gramsPerDay: Quantity = {
  kept: "g per head and day",
  units: [
    { spellings: ["g", "gram", "grams", "g/head/day", "g/day", "g/d", "gramos", "g/cabeza/día"], factor: 1 },
    { spellings: ["kg", "kg/head/day", "kg/day", "kg/d"], factor: 1000 },
    {
      spellings: ["oz", "ounce", "ounces", "oz/head/day", "oz/day", "oz/d", "onza", "onzas"],
      factor: 28.349523125,
    },
    {
      spellings: ["lb", "lbs", "pound", "pounds", "lb/head/day", "lb/day", "libra", "libras"],
      factor: 453.59237,
    },
  ],
};

const kilogramsPerDay: Quantity = {
  kept: "kg per head and day",
  units: [
    { spellings: ["kg", "kg/head/day", "kg/day", "kg/d", "kilogramos", "kg/cabeza/día"], factor: 1 },
    { spellings: ["g", "g/head/day", "g/day", "g/d"], factor: 0.001 },
    {
      spellings: ["lb", "lbs", "pound", "pounds", "lb/head/day", "lb/day", "libra", "libras"],
      factor: 0.45359237,
    },
    { spellings: ["oz", "oz/head/day", "oz/day"], factor: 0.028349523125 },
  ],
};

const temperature: Quantity = {
  kept: "°C",
  units: [
    { spellings: ["c", "°c", "celsius", "deg c"], factor: 1 },
    { spellings: ["f", "°f", "fahrenheit", "deg f"], factor: 5 / 9, offset: -160 / 9 },
  ],
};

const rain: Quantity = {
  kept: "mm",
  units: [
    { spellings: ["mm", "l/m2", "l/m²"], factor: 1 },
    { spellings: ["cm"], factor: 10 },
    { spellings: ["in", "inch", "inches", '"', "pulgadas"], factor: 25.4 },
  ],
};

const wind: Quantity = {
  kept: "m/s",
  units: [
    { spellings: ["m/s", "mps"], factor: 1 },
    { spellings: ["km/h", "kmh", "kph"], factor: 1 / 3.6 },
    { spellings: ["mph", "mi/h"], factor: 0.44704 },
  ],
};

const sunshineEnergy: Quantity = {
  kept: "MJ/m² per day",
  units: [
    { spellings: ["mj/m2", "mj/m²", "mj/m2/day", "mj/m2/d"], factor: 1 },
    { spellings: ["w/m2", "w/m²"], factor: 0.0864 },
    { spellings: ["kwh/m2", "kwh/m²"], factor: 3.6 },
  ],
};

const area: Quantity = {
  kept: "m²",
  units: [
    { spellings: ["m2", "m²", "sq m"], factor: 1 },
    { spellings: ["ft2", "ft²", "sq ft", "sqft"], factor: 0.09290304 },
    { spellings: ["ha", "hectare", "hectares", "hectáreas"], factor: 10_000 },
    { spellings: ["ac", "acre", "acres"], factor: 4046.8564224 },
  ],
};

const plainPercent: Quantity = { kept: "%", units: [{ spellings: ["%", "pct", "percent"], factor: 1 }] };

export const quantities = {
  length,
  share,
  traceMineral,
  gramsPerDay,
  kilogramsPerDay,
  temperature,
  rain,
  wind,
  sunshineEnergy,
  area,
  plainPercent,
} as const satisfies Record<string, Quantity>;

export type QuantityId = keyof typeof quantities;

/** Finds a unit by how it is spelled, ignoring case and outer spaces; null when the quantity has no such unit. */
export function findUnit(quantity: QuantityId, spelling: string): Unit | null {
  const wanted = spelling.trim().toLowerCase();
  return quantities[quantity].units.find((unit) => unit.spellings.includes(wanted)) ?? null;
}

/** The value in the unit kept in the book. */
export function toKeptUnit(value: number, unit: Unit): number {
  return value * unit.factor + (unit.offset ?? 0);
}
