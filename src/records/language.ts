export const languages = ["en", "es"] as const;
export type Language = (typeof languages)[number];

/** One text in every language: a new language does not compile until each text has it. */
export type InEveryLanguage = Readonly<Record<Language, string>>;
