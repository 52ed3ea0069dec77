import type { InEveryLanguage } from "../../records/language.ts";

/** One item of the checklist: what it asks, and the sections of the page that answer it; none: the author's part. */
export interface ChecklistItem {
  readonly asks: InEveryLanguage;
  readonly sections: readonly string[];
}

/**
 * The 22 items on reporting observational studies in veterinary science, in our own words
 * (Sargeant et al. 2016, J Vet Intern Med 30:1887-1895).
 */
export const checklist: readonly ChecklistItem[] = [
  {
    asks: {
      en: "Title and abstract name the design and the level of what was compared (claw, goat, pen, herd)",
      es: "Título y resumen nombran el diseño y el nivel comparado (pezuña, cabra, corral, rebaño)",
    },
    sections: ["answer"],
  },
  { asks: { en: "Background and why it is asked", es: "Antecedentes y por qué se pregunta" }, sections: [] },
  {
    asks: {
      en: "Aims and hypotheses stated beforehand, each with its level",
      es: "Objetivos e hipótesis fijados de antemano, cada uno con su nivel",
    },
    sections: [],
  },
  { asks: { en: "Design, early on", es: "Diseño, al principio" }, sections: ["methods"] },
  {
    asks: {
      en: "Place, dates, follow-up, housing and feeding",
      es: "Lugar, fechas, seguimiento, alojamiento y alimento",
    },
    sections: ["profile", "diet"],
  },
  {
    asks: {
      en: "How the herd and its animals came into the study, and who was left out",
      es: "Cómo entraron el rebaño y sus animales, y quién quedó fuera",
    },
    sections: ["profile", "flow"],
  },
  {
    asks: {
      en: "Outcomes, exposures, other variables: definitions, and the level each was measured at",
      es: "Resultados, exposiciones y demás variables: definiciones y nivel de medida",
    },
    sections: ["methods"],
  },
  {
    asks: { en: "Who measured what, how, and how well", es: "Quién midió qué, cómo y qué tan bien" },
    sections: ["methods", "measurement", "quality"],
  },
  {
    asks: { en: "What was done about bias", es: "Qué se hizo contra los sesgos" },
    sections: ["methods", "lameness"],
  },
  { asks: { en: "Why this size", es: "Por qué este tamaño" }, sections: [] },
  {
    asks: {
      en: "How measured quantities were used and grouped",
      es: "Cómo se usaron y agruparon las cantidades",
    },
    sections: ["methods"],
  },
  {
    asks: {
      en: "Statistical methods: models, repeated measures and pens, missing data, sensitivity",
      es: "Métodos estadísticos: modelos, medidas repetidas y corrales, datos faltantes, sensibilidad",
    },
    sections: ["methods", "sensitivity"],
  },
  {
    asks: { en: "Numbers at every stage, at every level", es: "Números en cada etapa y nivel" },
    sections: ["flow", "coverage"],
  },
  {
    asks: { en: "Who the animals were, and what is missing", es: "Quiénes eran los animales y qué falta" },
    sections: ["profile", "coverage"],
  },
  {
    asks: { en: "Outcomes, counted", es: "Resultados, contados" },
    sections: ["growth", "lameness", "pen-months", "retrim"],
  },
  {
    asks: {
      en: "Main results, crude and adjusted, with limits",
      es: "Resultados principales, crudos y ajustados, con límites",
    },
    sections: ["associations", "growth-ground", "lameness-pen"],
  },
  {
    asks: { en: "Other analyses", es: "Otros análisis" },
    sections: ["dose", "trial", "forecast", "sensitivity"],
  },
  {
    asks: { en: "Main results in view of the aims", es: "Resultados frente a los objetivos" },
    sections: ["answer"],
  },
  {
    asks: {
      en: "Limits, and which way bias may point",
      es: "Limitaciones y hacia dónde puede ir el sesgo",
    },
    sections: ["cannot-tell", "quality"],
  },
  { asks: { en: "A careful reading of it all", es: "Lectura prudente del conjunto" }, sections: [] },
  { asks: { en: "For whom else it may hold", es: "Para quién más puede valer" }, sections: [] },
  {
    asks: { en: "Who paid, and who owns the animals", es: "Quién pagó y de quién son los animales" },
    sections: [],
  },
];

/** Sources of the methods, as they stand on the page. */
export const references = {
  always: [
    "Garwood F 1936. Fiducial limits for the Poisson distribution. Biometrika 28:437-442.",
    "Sargeant JM et al. 2016. Reporting of observational studies in veterinary science. J Vet Intern Med 30:1887-1895.",
    "Turnbull BW 1976. The empirical distribution function with arbitrarily grouped, censored and truncated data. J R Stat Soc B 38:290-295.",
    "Wilson EB 1927. Probable inference, the law of succession, and statistical inference. J Am Stat Assoc 22:209-212.",
  ],
  models: [
    "Patterson HD, Thompson R 1971. Recovery of inter-block information when block sizes are unequal. Biometrika 58:545-554.",
  ],
  watch: [
    "Steiner SH, Cook RJ, Farewell VT, Treasure T 2000. Monitoring surgical performance using risk-adjusted cumulative sum charts. Biostatistics 1:441-452.",
  ],
  forecasts: [
    "Brier GW 1950. Verification of forecasts expressed in terms of probability. Mon Weather Rev 78:1-3.",
  ],
  associations: [
    "Benjamini Y, Hochberg Y 1995. Controlling the false discovery rate. J R Stat Soc B 57:289-300.",
    "VanderWeele TJ, Ding P 2017. Sensitivity analysis in observational research: the E-value. Ann Intern Med 167:268-274.",
  ],
  pooled: [
    "Cochran WG 1954. The combination of estimates from different experiments. Biometrics 10:101-129.",
    "Knapp G, Hartung J 2003. Improved tests for a random effects meta-regression with a single covariate. Stat Med 22:2693-2710.",
    "Mantel N, Haenszel W 1959. Statistical aspects of the analysis of data from retrospective studies of disease. J Natl Cancer Inst 22:719-748.",
    "Paule RC, Mandel J 1982. Consensus values and weighting factors. J Res Natl Bur Stand 87:377-385.",
  ],
  pedigree: [
    "Meuwissen T, Luo Z 1992. Computing inbreeding coefficients in large populations. Genet Sel Evol 24:305-313.",
  ],
} as const;
