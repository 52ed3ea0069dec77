import { code } from "../records/codes.ts";
import { type CalendarDay, calendarDay, type DayNumber, dayNumber, daysInMonth } from "../records/days.ts";
import { type CellRead, refused, taken } from "./cell-read.ts";
import { fold } from "./fold.ts";
import { type DayOrder, dayParts, monthOf, readDay, wholeYear } from "./read-day.ts";

export interface BornBetween {
  readonly earliest: DayNumber;
  readonly latest: DayNumber;
}

/**
 * Reads when an animal was born, as well as it is known: a day, a month (`2019-03`, `March 2019`), a year, a
 * range (`2018-2020`, `Mar 2019 to May 2019`), or about any of these (`~2019`, `c. 2019`). 'About' reaches
 * a whole year, month or day further on either side (project default).
 */
export function readBorn(text: string, order: DayOrder | null): CellRead<BornBetween> {
  const plain = text.trim();
  const about =
    /^(?:~|≈|c\.|ca\.?|circa|about|approx\.?|around|est\.?|hacia|aprox\.?|alrededor de)\s*|\s*\?$/i;
  if (about.test(plain)) {
    const spell = readSpell(plain.replace(about, "").trim(), order);
    return "trouble" in spell ? spell : taken(widened(spell.value));
  }
  const spell = readSpell(plain, order);
  if (!("trouble" in spell)) return taken(spell.value);
  const range = /^(.+?)(?:\s+(?:-|–|to|a|or|o)\s+|\s*(?:–|\.\.)\s*)(.+)$|^(\d{4})\s*[-/]\s*(\d{4})$/i.exec(
    plain,
  );
  if (range === null) return spell;
  const first = readSpell((range[1] ?? range[3])!, order);
  const last = readSpell((range[2] ?? range[4])!, order);
  if ("trouble" in first) return first;
  if ("trouble" in last) return last;
  if (last.value.latest < first.value.earliest) return refused(code("ends_before_it_starts"));
  return taken({ earliest: first.value.earliest, latest: last.value.latest });
}

function readSpell(text: string, order: DayOrder | null): CellRead<BornBetween> {
  if (/^(?:19|20)\d{2}$/.test(text)) return spell(Number(text), 1, 12);
  const month =
    /^(\d{4})[-/.](\d{1,2})$/.exec(text) ??
    /^(\d{1,2})[-/.](\d{4})$/.exec(text)?.map((_, i, all) => all[[0, 2, 1][i]!]!);
  if (month) return spell(Number(month[1]), Number(month[2]), Number(month[2]));
  if (dayParts(text) === null) {
    const words = fold(text.replace(/(\p{L})(\d)/gu, "$1 $2"))
      .split(" ")
      .filter((word) => word !== "de" && word !== "of");
    const named = monthOf(words[0] ?? "");
    if (words.length === 2 && named !== null && /^(?:\d{2}|\d{4})$/.test(words[1]!)) {
      return spell(wholeYear(Number(words[1]), words[1]!.length), named, named);
    }
  }
  const day = readDay(text, order);
  return "trouble" in day ? day : taken({ earliest: day.value, latest: day.value });
}

function spell(year: number, firstMonth: number, lastMonth: number): CellRead<BornBetween> {
  const earliest = dayNumber(year, firstMonth, 1);
  if (earliest === null) return refused(code("no_such_day"));
  return taken({ earliest, latest: dayNumber(year, lastMonth, daysInMonth(year, lastMonth))! });
}

function widened({ earliest, latest }: BornBetween): BornBetween {
  const first = calendarDay(earliest);
  const last = calendarDay(latest);
  if (earliest === latest) return { earliest: earliest - 1, latest: latest + 1 };
  const wholeYears = first.month === 1 && last.month === 12;
  const months = (by: number, { year, month }: CalendarDay): readonly [number, number] => {
    const count = year * 12 + month - 1 + by;
    return [Math.floor(count / 12), (count % 12) + 1];
  };
  const reach = wholeYears ? 12 : 1;
  const [fromYear, fromMonth] = months(-reach, first);
  const [toYear, toMonth] = months(reach, last);
  return {
    earliest: dayNumber(fromYear, fromMonth, 1)!,
    latest: dayNumber(toYear, toMonth, daysInMonth(toYear, toMonth))!,
  };
}
