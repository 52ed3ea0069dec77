import { argumentsOf, code, joinCodes, readCodes } from "../records/codes.ts";
import type { Named } from "../records/kind.ts";
import { lesionKinds } from "../records/lesion-kinds.ts";
import { defaultSettings, type Settings } from "../records/settings.ts";

/** The study number of a name in a flock; null where there is none. */
export type NumberOf = (named: Named, flock: string, original: string) => string | null;

/** Arguments of codes that are counts, days, or words of the program. */
const plainArguments = new Set(
  "amount,animals,bundle,chance,day,days,df,events,flocks,forecasts,from,gait,intervals,kind,least,limit,lines,most,needed,other,pen_months,pens,rate,scale,scores,spells,stage,to,units,weeks".split(
    ",",
  ),
);

/** What stands for an argument that was left out. */
const LEFT_OUT = "…";

/** Codes with the names in their arguments replaced; of an argument that could hold anything else nothing is left. */
export function anonymousCodes(cell: string, flock: string, of: NumberOf): string | null {
  return joinCodes(
    readCodes(cell).map(({ id, args }) =>
      code(
        id,
        ...args.map((text, i) => {
          const name = argumentsOf(id)[i] ?? "";
          if (plainArguments.has(name)) return text;
          if (name === "lesion") return Object.hasOwn(lesionKinds, text) ? text : LEFT_OUT;
          if (name === "left_out") return of("pen", flock, text) ?? of("flock", "", text) ?? LEFT_OUT;
          return name === "parent" ? (of("animal", flock, text) ?? LEFT_OUT) : LEFT_OUT;
        }),
      ),
    ),
  );
}

/** Settings that figures and pages read and that name nothing; the latitude to whole degrees. */
export function anonymousSettings(settings: Settings, number: string): Settings {
  const { latitude, units, language, soil, gait_scale, lame_from, seasons } = settings;
  const { trim_to_mm, retrim_at_mm, check_weeks, case_gap_days, unlisted_animals, name_people } = settings;
  const given = { units, language, soil, gait_scale, lame_from, seasons };
  return {
    ...defaultSettings,
    ...(Object.fromEntries(
      Object.entries(given).filter(([, value]) => value !== undefined),
    ) as Partial<Settings>),
    ...(latitude === undefined ? {} : { latitude: Math.round(latitude) }),
    id: number,
    name: number,
    trim_to_mm,
    retrim_at_mm,
    check_weeks,
    case_gap_days,
    unlisted_animals,
    name_people,
  };
}
