import { calendarDay, type DayNumber } from "../records/days.ts";
import type { Language } from "../records/language.ts";

const months: Readonly<Record<Language, readonly string[]>> = {
  en: [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
  ],
  es: [
    "enero",
    "febrero",
    "marzo",
    "abril",
    "mayo",
    "junio",
    "julio",
    "agosto",
    "septiembre",
    "octubre",
    "noviembre",
    "diciembre",
  ],
};

/** `9 March 2024`, `9 de marzo de 2024` */
export function dayInWords(day: DayNumber, language: Language): string {
  const { year, month, day: date } = calendarDay(day);
  const name = months[language][month - 1]!;
  return language === "es" ? `${date} de ${name} de ${year}` : `${date} ${name} ${year}`;
}

/** `9 Mar`, for tables where the year stands elsewhere; `9 Mar 2024` with the year. */
export function dayShort(day: DayNumber, language: Language, withYear = false): string {
  const { year, month, day: date } = calendarDay(day);
  return `${date} ${months[language][month - 1]!.slice(0, 3)}${withYear ? ` ${year}` : ""}`;
}

/** `March 2024`, `marzo de 2024` */
export function monthInWords(day: DayNumber, language: Language): string {
  const { year, month } = calendarDay(day);
  const name = months[language][month - 1]!;
  return language === "es" ? `${name} de ${year}` : `${name} ${year}`;
}

/** `2024-spring` as `spring 2024`, `primavera 2024`; `all` as the whole record. */
export function seasonInWords(id: string, language: Language): string {
  if (id === "all") return { en: "all seasons", es: "todas las temporadas" }[language];
  const [year, ...rest] = id.split("-");
  const name = rest.join(" ");
  const spanish: Readonly<Record<string, string>> = {
    spring: "primavera",
    summer: "verano",
    autumn: "otoño",
    winter: "invierno",
  };
  return `${language === "es" ? (spanish[name] ?? name) : name} ${year}`;
}
