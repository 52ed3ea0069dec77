import type { KindId } from "../records/kinds.ts";
import { DAYS_BETWEEN_SCORES, type DemoPen } from "./invent-pens.ts";
import type { InventedParts } from "./invented-parts.ts";
import type { SheetRow } from "./sheet-row.ts";

type Iso = (day: number) => string;
type PenKind = Extract<KindId, "pens" | "rations" | "feeds" | "minerals" | "ground" | "weather" | "events">;

/** The sheets that speak of pens: what goats stand on, what they eat, the weather, what was done. */
export function penSheets(parts: InventedParts, iso: Iso): Record<PenKind, SheetRow[]> {
  const { pens, calendar, plan } = parts;
  const until = (day: number) => (day >= calendar.length ? null : iso(day));
  return {
    pens: pens.map((pen) => ({
      pen: pen.name,
      ground: pen.ground,
      area_m2: pen.areaM2,
      sheep_too: pen.sheepToo ? "yes" : "no",
    })),
    rations: pens.flatMap((pen) => rationRows(pen, iso, until)),
    feeds: pens.flatMap((pen) => feedRows(pen, iso, until)),
    minerals: pens.flatMap((pen) => mineralRows(pen, iso, until)),
    ground: groundRows(parts, iso),
    weather: plan.open ? weatherRows(parts, iso) : [],
    events: plan.open ? eventRows(parts, iso) : [],
  };
}

function rationRows(pen: DemoPen, iso: Iso, until: (day: number) => string | null): SheetRow[] {
  return pen.rations
    .filter((ration) => ration.feeds === null)
    .map((ration) => ({
      pen: pen.name,
      from: iso(ration.from),
      to: until(ration.to),
      crude_protein_pct_dm: ration.crudeProtein,
      copper_mg_per_kg_dm: ration.copper,
      zinc_mg_per_kg_dm: ration.zinc,
      molybdenum_mg_per_kg_dm: ration.molybdenum,
      sulphur_pct_dm: ration.sulphur,
      intake_kg_dm_per_head_day: ration.intakeKgDm,
    }));
}

function feedRows(pen: DemoPen, iso: Iso, until: (day: number) => string | null): SheetRow[] {
  return pen.rations.flatMap((ration) =>
    (ration.feeds ?? []).map((feed) => ({
      pen: pen.name,
      from: iso(ration.from),
      to: until(ration.to),
      feed: feed.feed,
      kg_per_head_day: feed.kg,
      dry_matter_pct: feed.dryMatterPct,
      crude_protein_pct_dm: feed.crudeProteinPct,
      copper_mg_per_kg_dm: feed.copper,
      zinc_mg_per_kg_dm: feed.zinc,
    })),
  );
}

function mineralRows(pen: DemoPen, iso: Iso, until: (day: number) => string | null): SheetRow[] {
  return pen.rations.flatMap(({ from, to, mineral }) =>
    mineral === null
      ? []
      : [
          {
            pen: pen.name,
            from: iso(from),
            to: until(to),
            product: mineral.product,
            copper_mg_per_kg: mineral.copperMgPerKg,
            zinc_mg_per_kg: mineral.zincMgPerKg,
            offered_g_per_head_day: mineral.offeredG,
            refused_g_per_head_day: mineral.refusedG,
          },
        ],
  );
}

function groundRows({ pens, calendar }: InventedParts, iso: Iso): SheetRow[] {
  const rows: SheetRow[] = [];
  for (let day = 0; day < calendar.length; day += DAYS_BETWEEN_SCORES) {
    for (const pen of pens) rows.push({ pen: pen.name, date: iso(day), wetness: pen.wetness[day] });
  }
  return rows;
}

function weatherRows({ calendar, weather }: InventedParts, iso: Iso): SheetRow[] {
  const tenth = (value: number) => Number(value.toFixed(1));
  return Array.from({ length: calendar.length }, (_, d) => ({
    date: iso(d),
    rain_mm: tenth(weather.rain[d]),
    tmin_c: tenth(weather.tmin[d]),
    tmax_c: tenth(weather.tmax[d]),
    humidity_pct: Math.round(weather.humidity[d]),
    wind_m_s: tenth(weather.wind[d]),
    solar_mj_m2: tenth(weather.solar[d]),
  }));
}

/** Footbaths where it was wet for weeks, bedding in barns, a yearly vaccination, loads of new goats. */
function eventRows({ pens, calendar, animals }: InventedParts, iso: Iso): SheetRow[] {
  const rows: { day: number; row: SheetRow }[] = [];
  const add = (day: number, pen: string | null, event: string, note: string | null) => {
    if (day >= calendar.lead && day < calendar.length)
      rows.push({ day, row: { date: iso(day), pen, event, note } });
  };
  for (const pen of pens) {
    for (let day = calendar.lead; day < calendar.length; day += 28) {
      if (pen.wetness[day] >= 2 && pen.wetness[day - 14] >= 2) add(day, pen.name, "footbath", null);
      if (pen.ground === "bedded barn") add(day + 3, pen.name, "bedding", "fresh straw");
    }
  }
  for (let day = calendar.lead + 30; day < calendar.length; day += 365) add(day, null, "vaccination", null);
  const loads = new Set(animals.filter((animal) => animal.listed).map((animal) => animal.entered ?? -1));
  for (const day of loads) add(day, null, "new animals", "kept apart for a week");
  return rows.sort((a, b) => a.day - b.day).map(({ row }) => row);
}
