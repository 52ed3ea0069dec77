import type { InEveryLanguage } from "../records/language.ts";
import { type LesionId, lesionKinds } from "../records/lesion-kinds.ts";
import type { Reader, SeasonPageInput } from "./season-page-input.ts";

/** Pages that a caution can stand on. */
export type CautionPlace = Reader | "worklist" | "animals" | "index" | "handout";

/**
 * A caution: when it is in force, where it stands, and what it says. It defers to the vet and to local rules;
 * no strength and no dose is ever named.
 */
export interface SafetyCaution {
  readonly heading: InEveryLanguage;
  readonly says: InEveryLanguage;
  readonly places: readonly CautionPlace[];
  /** Higher stands further up; the notifiable-disease question stands above everything. */
  readonly rank: number;
  readonly inForce: (input: SeasonPageInput) => boolean;
  /** Rows that it names, such as the remark that raised it. */
  readonly names?: (input: SeasonPageInput) => readonly string[];
}

const EVERYWHERE: readonly CautionPlace[] = ["breeder", "extension", "vet", "worklist", "animals", "index"];

const openLesions = (input: SeasonPageInput): readonly LesionId[] =>
  input.findings.cases
    .filter((one) => one.closed === null)
    .flatMap((one) => (one.lesions?.split(", ") ?? []) as LesionId[]);

const soreOrSmell = (input: SeasonPageInput): boolean =>
  openLesions(input).some((lesion) => lesionKinds[lesion].leaveToVet) ||
  input.findings.cases.some((one) => one.closed === null && one.smell);

const onList = (input: SeasonPageInput, code: string): boolean =>
  input.findings.nextCheck.some((row) => row.caution?.includes(code) ?? false);

export const safetyCautions = {
  notifiable: {
    heading: {
      en: "Blisters, drooling, fever or sores at mouth or coronet?",
      es: "¿Ampollas, babeo, fiebre o llagas en boca o corona?",
    },
    says: {
      en: "With lameness these may be a notifiable disease. Until it is ruled out: move no animal, start no trimming round, and call the vet or the authority now.",
      es: "Junto con cojera pueden ser una enfermedad de declaración obligatoria. Hasta descartarla: no mueva animales, no empiece a recortar y llame ya al veterinario o a la autoridad.",
    },
    places: [...EVERYWHERE, "handout"],
    rank: 100,
    inForce: ({ notifiable }) => notifiable.length > 0,
    names: ({ notifiable }) => notifiable.map(({ where, says }) => `${where}: “${says}”`),
  },
  manyAtOnce: {
    heading: {
      en: "Several newly lame in one pen within a week",
      es: "Varias cojeras nuevas en un corral en una semana",
    },
    says: {
      en: "Look in mouths and at coronets before any trimming. If blisters, sores, drooling or fever are found: move no animal, trim none, and call the vet or the authority now.",
      es: "Revise bocas y coronas antes de recortar. Si hay ampollas, llagas, babeo o fiebre: no mueva animales, no recorte y llame ya al veterinario o a la autoridad.",
    },
    places: ["worklist", "vet", "index"],
    rank: 90,
    inForce: (input) => manyNewlyLame(input),
  },
  vetToday: {
    heading: { en: "Vet today", es: "Veterinario hoy" },
    says: {
      en: "An animal that bears no weight on a limb or is down, and one lame for over 3 days without treatment, wants the vet today.",
      es: "Un animal que no apoya una pata o está caído, y uno que lleva más de 3 días cojo sin tratamiento, necesita al veterinario hoy.",
    },
    places: ["worklist", "vet", "index"],
    rank: 80,
    inForce: (input) => onList(input, "vet_today"),
  },
  lookFirstTrimLast: {
    heading: {
      en: "Sore or smelling feet: look first, trim last",
      es: "Patas con llaga u olor: revisar primero, recortar al final",
    },
    says: {
      en: "Look at these first. Trim sound pens first and these last, in a place of their own with tools of their own; clean tools and gloves between goats.",
      es: "Revíselas primero. Recorte antes los corrales sanos y estas al final, en lugar y con herramientas aparte; limpie herramientas y guantes entre cabras.",
    },
    places: ["worklist"],
    rank: 70,
    inForce: (input) => onList(input, "look_first_trim_last"),
  },
  soreFeet: {
    heading: { en: "Do not trim back a sore or rotten foot", es: "No recorte una pata con llaga o podrida" },
    says: {
      en: "Cut no more than is needed to see it: trimming delays healing. Look and treat with the vet, and clean tools and gloves between goats.",
      es: "No corte más de lo necesario para verla: recortar retrasa la curación. Revise y trate con el veterinario, y limpie herramientas y guantes entre cabras.",
    },
    places: ["worklist", "vet", "animals"],
    rank: 65,
    inForce: soreOrSmell,
  },
  stages: {
    heading: { en: "Badly overgrown hooves: in stages", es: "Pezuñas muy crecidas: por etapas" },
    says: {
      en: "Take them down in stages 3 to 14 days apart; too much at once leaves a goat sore and lame. If she is lame, thin or late in kid: vet or trained trimmer first.",
      es: "Bájelas por etapas, con 3 a 14 días entre ellas; demasiado de una vez deja a la cabra adolorida y coja. Si cojea, está flaca o próxima al parto: primero el veterinario o un recortador capacitado.",
    },
    places: ["worklist"],
    rank: 60,
    inForce: (input) =>
      onList(input, "in_stages") ||
      input.findings.nextCheck.some(
        (row) => row.expected_overhang_mm !== null && row.expected_overhang_mm > 3 * input.flock.retrimAtMm,
      ),
  },
  lateInKid: {
    heading: { en: "Does within 6 weeks of kidding", es: "Cabras a menos de 6 semanas del parto" },
    says: {
      en: "Handle as little as possible, and never turn them over.",
      es: "Manéjelas lo menos posible y nunca las voltee.",
    },
    places: ["worklist"],
    rank: 50,
    inForce: (input) => onList(input, "late_in_kid"),
  },
  trimming: {
    heading: { en: "When trimming", es: "Al recortar" },
    says: {
      en: "Thin slices; stop at pink. Restrain the goat well, wear gloves, and cut away from yourself.",
      es: "Rebanadas delgadas; pare al ver rosado. Sujete bien a la cabra, use guantes y corte alejando la hoja de usted.",
    },
    places: ["worklist", "animals", "handout"],
    rank: 40,
    inForce: () => true,
  },
  laminitis: {
    heading: { en: "Signs of laminitis", es: "Signos de laminitis" },
    says: {
      en: "Change feed slowly, with the vet or a nutritionist.",
      es: "Cambie el alimento despacio, con el veterinario o un nutricionista.",
    },
    places: ["vet", "breeder"],
    rank: 45,
    inForce: ({ findings }) =>
      findings.lesion.some(
        (row) => row.group_kind === "flock" && row.lesion === "laminitis signs" && row.affected_animals >= 2,
      ),
  },
  copper: {
    heading: {
      en: "Copper kills sheep, and some goats",
      es: "El cobre mata a las ovejas y a algunas cabras",
    },
    says: {
      en: "Sheep, and some goat breeds, die of copper that other goats need. Add up feed, mineral, bolus and footbath, and have tests and the vet before any change.",
      es: "Las ovejas, y algunas razas de cabra, mueren con el cobre que otras cabras necesitan. Sume alimento, mineral, bolo y pediluvio, y pida análisis y al veterinario antes de cambiar algo.",
    },
    places: ["breeder", "extension", "vet"],
    rank: 55,
    inForce: ({ copperKnown }) => copperKnown,
  },
  chemicals: {
    heading: { en: "Footbaths, disinfectants and medicines", es: "Pediluvios, desinfectantes y medicinas" },
    says: {
      en: "Follow the label and local law; gloves and fresh air. Ask the vet for what is allowed where you are.",
      es: "Siga la etiqueta y la ley local; guantes y aire fresco. Pregunte al veterinario qué está permitido donde usted está.",
    },
    places: ["vet", "handout"],
    rank: 35,
    inForce: ({ footbathNamed, treatments }) => footbathNamed || treatments.count > 0,
  },
} as const satisfies Record<string, SafetyCaution>;

export type SafetyCautionId = keyof typeof safetyCautions;

/** The cautions in force on a page, the gravest first. */
export function cautionsInForce(input: SeasonPageInput, place: CautionPlace): readonly SafetyCaution[] {
  const all: readonly SafetyCaution[] = Object.values(safetyCautions);
  return all
    .filter((caution) => caution.places.includes(place) && caution.inForce(input))
    .sort((a, b) => b.rank - a.rank);
}

/** Days within which several new cases of a pen are one event, and how many make it one. */
const CLUSTER_DAYS = 7;
const CLUSTER_CASES = 3;
const CLUSTER_SHARE = 0.05;

/** Three or more, and over 5 % of a pen, newly lame within 7 days up to the day the page speaks of. */
function manyNewlyLame({ findings, today }: SeasonPageInput): boolean {
  const penOf = new Map(findings.nextCheck.map((row) => [row.animal, row.pen ?? ""]));
  const size = new Map<string, number>();
  for (const pen of penOf.values()) size.set(pen, (size.get(pen) ?? 0) + 1);
  const lame = new Map<string, number>();
  for (const one of findings.cases) {
    if (!one.kind.startsWith("lame") || one.first_sign <= today - CLUSTER_DAYS) continue;
    const pen = penOf.get(one.animal);
    if (pen !== undefined) lame.set(pen, (lame.get(pen) ?? 0) + 1);
  }
  return [...lame].some(
    ([pen, cases]) => cases >= CLUSTER_CASES && cases > CLUSTER_SHARE * (size.get(pen) ?? 0),
  );
}
