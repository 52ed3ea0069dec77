import { readCodes } from "../records/codes.ts";
import type { InEveryLanguage } from "../records/language.ts";
import { type LesionId, lesionKinds } from "../records/lesion-kinds.ts";
import { dayInWords } from "./dates.ts";
import { decimal } from "./numbers.ts";
import type { Reader, SeasonPageInput } from "./season-page-input.ts";
import { withdrawalRuns, withdrawalSentences } from "./sections/treatments.ts";

/** Pages that a caution can stand on. */
export type CautionPlace = Reader | "worklist" | "animals" | "index" | "handout" | "intake";

/**
 * A caution: when it is in force, where it stands, and what it says. It defers to the vet and to local rules;
 * no strength and no dose is ever named.
 */
interface SafetyCaution {
  readonly heading: InEveryLanguage;
  readonly says: InEveryLanguage;
  readonly places: readonly CautionPlace[];
  /** Higher stands further up. */
  readonly rank: number;
  /** Stands in a box of its own, above everything. */
  readonly grave?: true;
  readonly inForce: (input: SeasonPageInput, place: CautionPlace) => boolean;
  /** What raised it, or what the records say of it, line by line. */
  readonly names?: (input: SeasonPageInput) => readonly string[];
}

const EVERYWHERE: readonly CautionPlace[] = [
  "breeder",
  "extension",
  "vet",
  "worklist",
  "animals",
  "index",
  "handout",
];

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
    places: EVERYWHERE,
    rank: 100,
    grave: true,
    inForce: ({ notifiable }) => notifiable.length > 0,
    names: ({ notifiable }) =>
      notifiable.map(({ where, says }) => (says === "" ? where : `${where}: “${says}”`)),
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
    grave: true,
    inForce: (input) => input.season.isCurrent && manyNewlyLame(input).length > 0,
    names: (input) => manyNewlyLame(input),
  },
  vetToday: {
    heading: { en: "Vet today", es: "Veterinario hoy" },
    says: {
      en: "An animal that bears no weight on a limb or is down, and one lame for over 3 days without treatment, wants the vet today:",
      es: "Un animal que no apoya una pata o está caído, y uno que lleva más de 3 días cojo sin tratamiento, necesita al veterinario hoy:",
    },
    places: ["worklist", "vet", "index"],
    rank: 80,
    inForce: (input) => input.season.isCurrent && withCaution(input, "vet_today").length > 0,
    names: (input) => [`${withCaution(input, "vet_today").join(", ")}.`],
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
    inForce: (input) => withCaution(input, "look_first_trim_last").length > 0,
  },
  soreFeet: {
    heading: { en: "Do not trim back a sore or rotten foot", es: "No recorte una pata con llaga o podrida" },
    says: {
      en: "Cut no more than is needed to see it: trimming delays healing. Look and treat with the vet, and clean tools and gloves between goats.",
      es: "No corte más de lo necesario para verla: recortar retrasa la curación. Revise y trate con el veterinario, y limpie herramientas y guantes entre cabras.",
    },
    places: ["worklist", "vet", "animals"],
    rank: 65,
    inForce: (input, place) => soreOrSmell(input, place),
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
      withCaution(input, "in_stages").length > 0 ||
      input.findings.nextCheck.some(
        (row) => row.expected_overhang_mm !== null && row.expected_overhang_mm > 3 * input.flock.retrimAtMm,
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
    places: ["extension", "vet"],
    rank: 55,
    inForce: ({ copperKnown }) => copperKnown,
  },
  lateInKid: {
    heading: { en: "Does within 6 weeks of kidding", es: "Cabras a menos de 6 semanas del parto" },
    says: {
      en: "Handle as little as possible, and never turn them over.",
      es: "Manéjelas lo menos posible y nunca las voltee.",
    },
    places: ["worklist"],
    rank: 50,
    inForce: (input) => withCaution(input, "late_in_kid").length > 0,
  },
  laminitis: {
    heading: {
      en: "Signs of laminitis, or a sudden rise of the ration",
      es: "Signos de laminitis, o alza repentina de la ración",
    },
    says: {
      en: "Change feed slowly, with the vet or a nutritionist.",
      es: "Cambie el alimento despacio, con el veterinario o un nutricionista.",
    },
    places: ["vet", "breeder"],
    rank: 45,
    inForce: ({ findings, rationRises }) =>
      rationRises.length > 0 || laminitisAnimals(findings) >= SEVERAL_SIGNS,
    names: ({ rationRises, language }) =>
      rationRises.map(({ pen, day, from, to }) => {
        const [was, now] = [decimal(from, 1, language), decimal(to, 1, language)];
        return {
          en: `${pen}, ${dayInWords(day, language)}: crude protein from ${was} to ${now} % of dry matter within a week.`,
          es: `${pen}, ${dayInWords(day, language)}: proteína cruda de ${was} a ${now} % de la materia seca en una semana.`,
        }[language];
      }),
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
  withdrawal: {
    heading: { en: "Withdrawals", es: "Retiros" },
    says: {
      en: "From the treatments on record:",
      es: "De los tratamientos registrados:",
    },
    places: ["vet", "worklist"],
    rank: 30,
    inForce: (input) => input.treatments.count > 0 || withdrawalRuns(input),
    names: withdrawalSentences,
  },
} as const satisfies Record<string, SafetyCaution>;

export type SafetyCautionId = keyof typeof safetyCautions;

/** A caution as a page shows it. */
export interface CautionInForce {
  readonly id: SafetyCautionId;
  readonly heading: InEveryLanguage;
  readonly says: InEveryLanguage;
  readonly grave: boolean;
  readonly names: readonly string[];
}

/** The cautions in force on a page, the gravest first; copper first of the rest where sheep stand with the goats. */
export function cautionsInForce(input: SeasonPageInput, place: CautionPlace): readonly CautionInForce[] {
  const rankOf = (id: string, { rank }: SafetyCaution): number =>
    id === "copper" && input.sheepToo ? COPPER_WITH_SHEEP : rank;
  return (Object.entries(safetyCautions) as [SafetyCautionId, SafetyCaution][])
    .filter(([, caution]) => caution.places.includes(place) && caution.inForce(input, place))
    .sort(([a, one], [b, other]) => rankOf(b, other) - rankOf(a, one))
    .map(([id, caution]) => ({
      id,
      heading: caution.heading,
      says: caution.says,
      grave: caution.grave ?? false,
      names: caution.names?.(input) ?? [],
    }));
}

/** Where sheep share a pen, copper comes right after what may be a notifiable disease. */
const COPPER_WITH_SHEEP = 89;
/** Animals with laminitis signs in a season that are 'several'. Project default. */
const SEVERAL_SIGNS = 2;

function laminitisAnimals(findings: SeasonPageInput["findings"]): number {
  return findings.lesion
    .filter((row) => row.group_kind === "flock" && row.lesion === "laminitis signs")
    .reduce((most, row) => Math.max(most, row.affected_animals), 0);
}

/** Animals of the work list with a code among their cautions, in looking order. */
function withCaution({ findings }: SeasonPageInput, code: string): readonly string[] {
  return [...findings.nextCheck]
    .sort((a, b) => a.look_order - b.look_order)
    .filter((row) => readCodes(row.caution).some(({ id }) => id === code))
    .map((row) => row.animal);
}

/**
 * A foot that cutting would harm: on the work list while it is open, on the vet's and the animals' pages of a
 * season also where it was found in it.
 */
function soreOrSmell({ findings }: SeasonPageInput, place: CautionPlace): boolean {
  const harmed = (lesions: string | null): boolean =>
    (lesions?.split(", ") ?? []).some((lesion) => lesionKinds[lesion as LesionId]?.leaveToVet ?? false);
  const open = findings.liveCases.filter((one) => one.closed === null);
  const cases = place === "worklist" ? open : [...open, ...findings.cases];
  return cases.some((one) => one.smell || harmed(one.lesions));
}

/** Days within which several new cases of a pen are one event, and how many make it one. */
const CLUSTER_DAYS = 7;
const CLUSTER_CASES = 3;
const CLUSTER_SHARE = 0.05;

/** Pens in which three or more, and over 5 %, went lame within the week up to the day the pages speak of. */
function manyNewlyLame({ findings, today }: SeasonPageInput): readonly string[] {
  const penOf = new Map(findings.nextCheck.map((row) => [row.animal, row.pen ?? ""]));
  const size = new Map<string, number>();
  for (const pen of penOf.values()) size.set(pen, (size.get(pen) ?? 0) + 1);
  const lame = new Map<string, string[]>();
  for (const one of findings.liveCases) {
    const pen = penOf.get(one.animal);
    if (pen === undefined || !one.kind.startsWith("lame") || one.first_sign <= today - CLUSTER_DAYS) continue;
    lame.set(pen, [...(lame.get(pen) ?? []), one.animal]);
  }
  return [...lame]
    .filter(
      ([pen, animals]) =>
        animals.length >= CLUSTER_CASES && animals.length > CLUSTER_SHARE * (size.get(pen) ?? 0),
    )
    .map(([pen, animals]) => `${pen === "" ? "" : `${pen}: `}${animals.join(", ")}`);
}
