import type { Language } from "../../records/language.ts";
import { whole } from "../numbers.ts";
import { capital, counter } from "./count.ts";

/** Words on what was found on feet, what was done about it, and whom to look at next. */
export interface FeetWords {
  readonly lesionQuestion: string;
  readonly lesionHeading: (lesion: string, affected: number, examined: number) => string;
  readonly lesionClean: (examined: number) => string;
  readonly lesionNone: string;
  readonly lesionAxis: string;
  readonly lesionByPen: string;
  readonly lesionByPenHeading: (lesion: string, pen: string, affected: number, examined: number) => string;
  readonly examined: string;
  readonly rests: (animals: number) => string;
  readonly caseQuestion: string;
  readonly caseHeading: (cases: number, open: number) => string;
  readonly caseNone: string;
  readonly waitSentence: (treated: number, cases: number, median: string, animals: number) => string;
  readonly untreated: (cases: number) => string;
  readonly repeatSentence: (repeats: number) => string;
  readonly openTable: string;
  readonly otherCases: (cases: number) => string;
  readonly stillOpen: string;
  readonly lame: string;
  /** A lesion that was seen but not named. */
  readonly someLesion: string;
  readonly gait: (score: string, scale: string) => string;
  readonly trimQuestion: string;
  readonly trimHeading: (bled: number, trims: number) => string;
  readonly trimOutside: (
    who: string,
    over: number,
    trims: number,
    flockOver: number,
    flockTrims: number,
    more: boolean,
  ) => string;
  readonly trimNone: string;
  readonly trimAxis: string;
  readonly stagedSentence: (staged: number, followed: number) => string;
  readonly longSentence: (long: number) => string;
  readonly checkQuestion: string;
  readonly checkHeading: (now: number, due: number) => string;
  readonly checkSentence: (now: number, due: number, present: number) => string;
  readonly checkPast: string;
  readonly severeQuestion: string;
  readonly severeHeading: (count: number) => string;
  readonly urgency: Readonly<Record<string, string>>;
  readonly treatmentQuestion: string;
  readonly treatmentHeading: (count: number) => string;
  readonly treatmentNone: string;
  readonly milkUntil: (day: string) => string;
  readonly meatUntil: (day: string) => string;
  readonly nothingRunning: string;
  readonly withoutWithdrawal: (count: number) => string;
  readonly neverClear: string;
}

const en = counter("en");
const es = counter("es");

export const feetWords: Readonly<Record<Language, FeetWords>> = {
  en: {
    lesionQuestion: "What was found on the feet?",
    lesionHeading: (lesion, affected, examined) =>
      `${capital(lesion)} was the most common finding: ${affected} of ${en(examined, "goat", "goats")} examined`,
    lesionClean: (examined) =>
      examined === 1
        ? "Nothing was found on the 1 goat examined"
        : `Nothing was found on the ${examined} goats examined`,
    lesionNone: "No feet were examined for lesions this season",
    lesionAxis: "goats affected, of those examined, with 95 % limits",
    lesionByPen: "Which findings stand in which pens?",
    lesionByPenHeading: (lesion, pen, affected, examined) =>
      `${capital(lesion)} was most frequent in ${pen}: ${affected} of ${examined} examined there`,
    examined: "examined",
    rests: (animals) => `${en(animals, "goat", "goats")} examined`,
    caseQuestion: "How many cases, and how soon were they treated?",
    caseHeading: (cases, open) =>
      `${en(cases, "case", "cases")} began this season; ${open === 0 ? "none is" : en(open, "is", "are")} still open`,
    caseNone: "No case began this season",
    waitSentence: (treated, cases, median, animals) =>
      treated === 0
        ? `None of them, in ${en(animals, "goat", "goats")}, has a treatment on record.`
        : `${treated} of ${cases}, in ${en(animals, "goat", "goats")}, ${treated === 1 ? "has" : "have"} a treatment on record, half of these within ${median} ${median === "1" ? "day" : "days"} of the first sign.`,
    untreated: (cases) =>
      cases === 0
        ? ""
        : `${en(cases, "lame goat", "lame goats")} waited over 3 days, or ${cases === 1 ? "is" : "are"} still waiting.`,
    repeatSentence: (repeats) =>
      repeats === 0
        ? "None was a repeat within 180 days."
        : `${en(repeats, "was a repeat", "were repeats")} within 180 days.`,
    openTable: "Cases still open",
    otherCases: (cases) => `${en(cases, "case", "cases")} since seen sound`,
    stillOpen: "still open",
    lame: "lame",
    someLesion: "a lesion",
    gait: (score, scale) => `gait ${score} on ${scale}`,
    trimQuestion: "How did the trims go?",
    trimHeading: (bled, trims) =>
      bled === 0
        ? `None of ${en(trims, "claw trim", "claw trims")} bled`
        : `${bled} of ${en(trims, "claw trim", "claw trims")} bled`,
    trimOutside: (who, over, trims, flockOver, flockTrims, more) =>
      `${who} bled or cut below the pad ${over} of ${en(trims, "claw", "claws")}, ${more ? "more" : "less"} often than chance alone would give beside the flock's ${flockOver} of ${whole(flockTrims, "en")}.`,
    trimNone: "No trims this season",
    trimAxis: "claw trims that bled, with 95 % limits",
    stagedSentence: (staged, followed) =>
      `Of ${en(staged, "staged trim", "staged trims")} that wanted a next stage, ${followed} had it within 3 to 21 days.`,
    longSentence: (long) => `${en(long, "claw was", "claws were")} left long without a stage noted.`,
    checkQuestion: "Whom to look at first?",
    checkHeading: (now, due) =>
      now === 0 && due === 0
        ? "No goat is waiting to be looked at"
        : now === 0
          ? `${en(due, "goat is", "goats are")} due to be looked at`
          : due === 0
            ? `${en(now, "goat", "goats")} to look at now`
            : `${en(now, "goat", "goats")} to look at now, ${due} more due`,
    checkSentence: (now, due, present) =>
      now + due === 0
        ? `None of ${en(present, "goat", "goats")} present on the day is waiting to be looked at.`
        : `Of ${present} present on the day, ${en(now, "goat wants", "goats want")} looking at now and ${due} more ${due === 1 ? "is" : "are"} due.`,
    checkPast:
      "This season is past: the list of whom to look at next stands on the latest season's page and on the work list.",
    severeQuestion: "Who is badly overgrown, or between two stages?",
    severeHeading: (count) =>
      count === 0
        ? "No goat is on record as badly overgrown or between two stages"
        : `${en(count, "goat is", "goats are")} badly overgrown or between two stages`,
    urgency: { now: "now", staged: "next stage", due: "due", routine: "in its time" },
    treatmentQuestion: "What was given, and which withdrawals run?",
    treatmentHeading: (count) => `${en(count, "treatment is", "treatments are")} on record this season`,
    treatmentNone: "No treatment is on record this season",
    milkUntil: (day) => `Milk: a withdrawal is recorded as running until ${day}.`,
    meatUntil: (day) => `Meat: a withdrawal is recorded as running until ${day}.`,
    nothingRunning: "No withdrawal is recorded as running on the day this page speaks of.",
    withoutWithdrawal: (count) =>
      count === 0
        ? "Every treatment has a withdrawal recorded."
        : `${en(count, "treatment has", "treatments have")} no withdrawal recorded.`,
    neverClear: "Only the label and the vet can say when milk or meat may be used again.",
  },
  es: {
    lesionQuestion: "¿Qué se encontró en las patas?",
    lesionHeading: (lesion, affected, examined) =>
      `Lo más común fue ${lesion}: ${affected} de ${es(examined, "cabra revisada", "cabras revisadas")}`,
    lesionClean: (examined) =>
      examined === 1
        ? "No se encontró nada en la única cabra revisada"
        : `No se encontró nada en las ${examined} cabras revisadas`,
    lesionNone: "Esta temporada no se revisaron patas por lesiones",
    lesionAxis: "cabras afectadas, de las revisadas, con límites del 95 %",
    lesionByPen: "¿Qué hallazgos hay en qué corrales?",
    lesionByPenHeading: (lesion, pen, affected, examined) =>
      `Lo más frecuente, ${lesion} en ${pen}: ${affected} de ${examined} revisadas ahí`,
    examined: "revisadas",
    rests: (animals) => es(animals, "cabra revisada", "cabras revisadas"),
    caseQuestion: "¿Cuántos casos hubo y qué tan pronto se trataron?",
    caseHeading: (cases, open) =>
      `${es(cases, "caso empezó", "casos empezaron")} esta temporada; ${open === 0 ? "ninguno sigue abierto" : es(open, "sigue abierto", "siguen abiertos")}`,
    caseNone: "Ningún caso empezó esta temporada",
    waitSentence: (treated, cases, median, animals) =>
      treated === 0
        ? `Ninguno, en ${es(animals, "cabra", "cabras")}, tiene tratamiento registrado.`
        : `${treated} de ${cases}, en ${es(animals, "cabra", "cabras")}, ${treated === 1 ? "tiene" : "tienen"} tratamiento registrado, la mitad de estos a ${median} ${median === "1" ? "día" : "días"} del primer signo.`,
    untreated: (cases) =>
      cases === 0
        ? ""
        : `${es(cases, "cabra coja esperó", "cabras cojas esperaron")} más de 3 días, o ${cases === 1 ? "sigue" : "siguen"} esperando.`,
    repeatSentence: (repeats) =>
      repeats === 0
        ? "Ninguno fue una recaída dentro de 180 días."
        : `${es(repeats, "fue una recaída", "fueron recaídas")} dentro de 180 días.`,
    openTable: "Casos aún abiertos",
    otherCases: (cases) => `${es(cases, "caso ya visto sano", "casos ya vistos sanos")}`,
    stillOpen: "sigue abierto",
    lame: "coja",
    someLesion: "una lesión",
    gait: (score, scale) => `marcha ${score} en ${scale}`,
    trimQuestion: "¿Cómo salieron los recortes?",
    trimHeading: (bled, trims) =>
      bled === 0
        ? `Ninguno de ${es(trims, "recorte de pezuña", "recortes de pezuña")} sangró`
        : `${bled} de ${es(trims, "recorte de pezuña", "recortes de pezuña")} ${bled === 1 ? "sangró" : "sangraron"}`,
    trimOutside: (who, over, trims, flockOver, flockTrims, more) =>
      `${who} hizo sangrar o cortó bajo la palma ${over} de ${es(trims, "pezuña", "pezuñas")}, ${more ? "más" : "menos"} seguido de lo que daría el azar junto a ${flockOver} de ${whole(flockTrims, "es")} del rebaño.`,
    trimNone: "Sin recortes esta temporada",
    trimAxis: "recortes que sangraron, con límites del 95 %",
    stagedSentence: (staged, followed) =>
      `De ${es(staged, "recorte por etapas", "recortes por etapas")} con etapa pendiente, ${followed} la tuvieron entre 3 y 21 días.`,
    longSentence: (long) =>
      `${es(long, "pezuña se dejó larga", "pezuñas se dejaron largas")} sin anotar etapa.`,
    checkQuestion: "¿A quién revisar primero?",
    checkHeading: (now, due) =>
      now === 0 && due === 0
        ? "Ninguna cabra espera revisión"
        : now === 0
          ? `A ${es(due, "cabra le toca", "cabras les toca")} revisión`
          : due === 0
            ? `${es(now, "cabra", "cabras")} por revisar ahora`
            : `${es(now, "cabra", "cabras")} por revisar ahora y ${due} más a las que ya toca`,
    checkSentence: (now, due, present) =>
      now + due === 0
        ? `Ninguna de ${es(present, "cabra presente", "cabras presentes")} espera revisión.`
        : `De ${present} presentes ese día, ${es(now, "cabra pide", "cabras piden")} revisión ahora y a ${due} más ya ${due === 1 ? "le" : "les"} toca.`,
    checkPast:
      "Esta temporada ya pasó: a quién revisar está en la página de la última temporada y en la lista de trabajo.",
    severeQuestion: "¿Quién está muy crecida o entre dos etapas?",
    severeHeading: (count) =>
      count === 0
        ? "Ninguna cabra figura como muy crecida o entre dos etapas"
        : `${es(count, "cabra está muy crecida", "cabras están muy crecidas")} o entre dos etapas`,
    urgency: { now: "ahora", staged: "siguiente etapa", due: "ya toca", routine: "a su tiempo" },
    treatmentQuestion: "¿Qué se dio y qué retiros corren?",
    treatmentHeading: (count) =>
      `${es(count, "tratamiento registrado", "tratamientos registrados")} esta temporada`,
    treatmentNone: "No hay tratamientos registrados esta temporada",
    milkUntil: (day) => `Leche: hay un retiro registrado hasta el ${day}.`,
    meatUntil: (day) => `Carne: hay un retiro registrado hasta el ${day}.`,
    nothingRunning: "No hay ningún retiro registrado corriendo el día del que habla esta página.",
    withoutWithdrawal: (count) =>
      count === 0
        ? "Todo tratamiento tiene retiro registrado."
        : `${es(count, "tratamiento no tiene", "tratamientos no tienen")} retiro registrado.`,
    neverClear: "Solo la etiqueta y el veterinario pueden decir cuándo se vuelve a usar la leche o la carne.",
  },
};
