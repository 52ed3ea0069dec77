import type { Language } from "../../records/language.ts";

/** Sentences made from the findings' numbers. Each has the forms its numbers can take. */
export interface FindingWords {
  readonly growthQuestion: string;
  readonly growthHeading: (rate: string) => string;
  readonly growthNone: string;
  readonly growthSentence: (rate: string, animals: number) => string;
  readonly growthByQuestion: Readonly<
    Record<"foot" | "pen" | "ground" | "line" | "age_band" | "class" | "arm", string>
  >;
  readonly growthByHeading: (fastest: string, slowest: string, apart: boolean) => string;
  readonly growthAxis: (unit: string) => string;
  readonly flockMean: string;
  readonly lamenessQuestion: string;
  readonly lamenessHeading: (lame: number, scored: number) => string;
  readonly lamenessNone: string;
  readonly lamenessSentence: (lame: number, scored: number, share: string) => string;
  readonly pointSentence: (share: string, scores: string) => string;
  readonly incidenceSentence: (cases: number, rate: string, gap: string) => string;
  readonly lamenessByQuestion: Readonly<Record<"pen" | "line" | "ground" | "age_band", string>>;
  readonly lamenessByHeading: (most: string, least: string, apart: boolean) => string;
  readonly lamenessAxis: string;
  readonly retrimQuestion: string;
  readonly retrimHeading: (days: number) => string;
  readonly retrimNone: string;
  readonly retrimSentence: (days: string, limit: string) => string;
  readonly retrimBeyond: (day: number) => string;
  readonly retrimAxisDays: string;
  readonly retrimAxisShare: string;
  readonly retrimUnknown: string;
  readonly retrimMedian: (days: string) => string;
  readonly retrimByQuestion: string;
  readonly retrimByHeading: (longest: string, shortest: string, apart: boolean) => string;
  readonly lesionQuestion: string;
  readonly lesionHeading: (lesion: string, affected: number, examined: number) => string;
  readonly lesionClean: (examined: number) => string;
  readonly lesionNone: string;
  readonly caseQuestion: string;
  readonly caseHeading: (cases: number, open: number) => string;
  readonly caseNone: string;
  readonly caseSentence: (cases: number, treated: number, median: string) => string;
  readonly repeatSentence: (repeats: number) => string;
  readonly trimQuestion: string;
  readonly trimHeading: (bled: number, trims: string) => string;
  readonly trimOutside: (who: string) => string;
  readonly trimNone: string;
  readonly stagedSentence: (staged: number, followed: number) => string;
  readonly checkQuestion: string;
  readonly checkHeading: (now: number, due: number) => string;
  readonly checkSentence: (now: number, due: number, present: number) => string;
  readonly animalsQuestion: string;
  readonly animalsHeading: (count: number) => string;
  readonly animalsNone: string;
  readonly qualityQuestion: string;
  readonly qualityHeading: (flagged: number) => string;
  readonly overlap: string;
  readonly rests: (
    animals: number,
    rows: string,
    what: "intervals" | "scores" | "spells" | "trims" | "cases" | "examined",
  ) => string;
  readonly columns: Readonly<
    Record<
      | "group"
      | "animal"
      | "pen"
      | "animals"
      | "intervals"
      | "rate"
      | "limits"
      | "scored"
      | "lame"
      | "share"
      | "scores"
      | "median"
      | "spells"
      | "lesion"
      | "examined"
      | "affected"
      | "trims"
      | "bled"
      | "overTrimmed"
      | "leftLong"
      | "reason"
      | "lastLook"
      | "checkBy"
      | "expected"
      | "firstSign"
      | "treatment"
      | "closed"
      | "what"
      | "note"
      | "lookedAt"
      | "flagged"
      | "example"
      | "advice",
      string
    >
  >;
  readonly urgency: Readonly<Record<string, string>>;
  readonly stillOpen: string;
  readonly groupValue: (kind: string, value: string) => string;
}

const count = (n: number, one: string, many: string): string => `${n} ${n === 1 ? one : many}`;

const spanishValues: Readonly<Record<string, string>> = {
  LF: "delantera izquierda",
  RF: "delantera derecha",
  LH: "trasera izquierda",
  RH: "trasera derecha",
  inner: "interno",
  outer: "externo",
  kid: "cabrito",
  young: "joven",
  yearling: "primala",
  adult: "adulta",
  older: "mayor",
  unknown: "desconocido",
  growing: "en crecimiento",
  "late pregnant": "gestación avanzada",
  milking: "en ordeña",
  dry: "seca",
  buck: "semental",
  wether: "castrado",
  "rocky range": "pedregal",
  pasture: "pasto",
  "dry lot": "corral seco",
  wood: "madera",
  concrete: "concreto",
  "bedded barn": "establo con cama",
  other: "otro",
};
const englishFeet: Readonly<Record<string, string>> = {
  LF: "left front",
  RF: "right front",
  LH: "left hind",
  RH: "right hind",
};

export const findingWords: Readonly<Record<Language, FindingWords>> = {
  en: {
    growthQuestion: "How fast do hooves grow here?",
    growthHeading: (rate) => `Hooves grow ${rate} here`,
    growthNone: "No two lengths of one claw, so growth cannot be told",
    growthSentence: (rate, animals) =>
      `Horn grew ${rate} net of wear, over ${count(animals, "goat", "goats")}.`,
    growthByQuestion: {
      foot: "Do the feet grow alike?",
      pen: "Do hooves grow faster in some pens?",
      ground: "Does the ground go with it?",
      line: "Do some lines' hooves grow faster?",
      age_band: "Does age go with it?",
      class: "Do milking, dry and growing goats differ?",
      arm: "Did the study's arms differ?",
    },
    growthByHeading: (fastest, slowest, apart) =>
      apart
        ? `Horn grows fastest in ${fastest}, slowest in ${slowest}`
        : `No clear difference: ${fastest} stands highest, but the intervals overlap`,
    growthAxis: (unit) => `growth, ${unit} a month, with 95 % limits`,
    flockMean: "whole flock",
    lamenessQuestion: "How much of the flock is lame?",
    lamenessHeading: (lame, scored) =>
      lame === 0
        ? `No goat of the ${scored} scored was lame`
        : `${lame} of ${scored} goats scored were lame at some time`,
    lamenessNone: "No gait scores, so lameness cannot be told",
    lamenessSentence: (lame, scored, share) =>
      lame === 0
        ? `None of ${count(scored, "goat", "goats")} scored was lame: at most ${share}.`
        : `${lame} of ${scored} goats scored were lame at some time: ${share}.`,
    pointSentence: (share, scores) => `On a day, ${share} were lame (${scores} scores).`,
    incidenceSentence: (cases, rate, gap) =>
      cases === 0
        ? "No new case was seen between two scores."
        : `${count(cases, "new case was", "new cases were")} seen, ${rate} per 100 goat-months, with scores about ${gap} days apart.`,
    lamenessByQuestion: {
      pen: "Where are the lame ones?",
      line: "Do some lines go lame more often?",
      ground: "Does the ground go with it?",
      age_band: "Does age go with it?",
    },
    lamenessByHeading: (most, least, apart) =>
      apart
        ? `Lameness was most common in ${most}, least in ${least}`
        : `No clear difference: ${most} stands highest, but the intervals overlap`,
    lamenessAxis: "scores that were lame, with 95 % limits",
    retrimQuestion: "How long does a trim last?",
    retrimHeading: (days) => `Half of trims were past the limit by day ${days}`,
    retrimNone: "Too few checks after trims to say how long one lasts",
    retrimSentence: (days, limit) =>
      `A trim lasts about ${days} days until some claw stands ${limit} past the pad.`,
    retrimBeyond: (day) => `Fewer than half of trims were seen past the limit by day ${day}, the last check`,
    retrimAxisDays: "days after the trim",
    retrimAxisShare: "share still within the limit",
    retrimUnknown: "the checks do not tell when within these days",
    retrimMedian: (days) => `half by day ${days}`,
    retrimByQuestion: "Does a trim last longer on some ground?",
    retrimByHeading: (longest, shortest, apart) =>
      apart
        ? `Trims last longest on ${longest}, shortest on ${shortest}`
        : `No clear difference: trims on ${longest} stand longest, but the intervals overlap`,
    lesionQuestion: "What was found on the feet?",
    lesionHeading: (lesion, affected, examined) =>
      `${capital(lesion)} was the most common finding: ${affected} of ${examined} examined`,
    lesionClean: (examined) => `No lesion was found on the ${examined} goats examined`,
    lesionNone: "No feet were examined for lesions this season",
    caseQuestion: "How many cases, and how soon were they treated?",
    caseHeading: (cases, open) =>
      `${count(cases, "case", "cases")} began this season; ${open === 0 ? "none is" : count(open, "is", "are")} still open`,
    caseNone: "No case began this season",
    caseSentence: (cases, treated, median) =>
      `${count(cases, "case", "cases")} began; ${treated} had a treatment on record, half of these within ${median} days of the first sign.`,
    repeatSentence: (repeats) =>
      repeats === 0
        ? "None came back within 180 days."
        : `${count(repeats, "case was", "cases were")} a repeat within 180 days.`,
    trimQuestion: "How did the trims go?",
    trimHeading: (bled, trims) =>
      bled === 0 ? `None of ${trims} claw trims bled` : `${bled} of ${trims} claw trims bled`,
    trimOutside: (who) => `${who} stands outside what chance alone would give.`,
    trimNone: "No trims this season",
    stagedSentence: (staged, followed) =>
      `Of ${count(staged, "staged trim", "staged trims")} that wanted a next stage, ${followed} had it within 3 to 21 days.`,
    checkQuestion: "Whom to look at next?",
    checkHeading: (now, due) =>
      now === 0 && due === 0
        ? "No goat is waiting to be looked at"
        : now === 0
          ? `${count(due, "goat is", "goats are")} due to be looked at`
          : `${count(now, "goat", "goats")} to look at now, ${due} more due`,
    checkSentence: (now, due, present) =>
      `Of ${present} present, ${count(now, "goat wants", "goats want")} looking at now and ${due} more ${due === 1 ? "is" : "are"} due.`,
    animalsQuestion: "Which goats to watch?",
    animalsHeading: (n) =>
      n === 0
        ? "No goat's horn is clearly faster than the flock's"
        : `${count(n, "goat's horn", "goats' horn")} grows clearly faster than the flock's`,
    animalsNone: "No goat has enough intervals for a figure of its own",
    qualityQuestion: "What in the records wants a look?",
    qualityHeading: (flagged) =>
      flagged === 0 ? "Nothing in the records stood out" : `${flagged} kinds of record want a look`,
    overlap: "All intervals overlap: the order of this list is not evidence.",
    rests: (animals, rows, what) =>
      `${count(animals, "goat", "goats")}, ${rows} ${{ intervals: "intervals between visits", scores: "scores", spells: "trim spells", trims: "claw trims", cases: "cases", examined: "examinations" }[what]}`,
    columns: {
      group: "Group",
      animal: "Goat",
      pen: "Pen",
      animals: "Goats",
      intervals: "Intervals",
      rate: "Growth a month",
      limits: "95 % limits",
      scored: "Scored",
      lame: "Lame",
      share: "Share",
      scores: "Scores",
      median: "Half by day",
      spells: "Spells",
      lesion: "Finding",
      examined: "Examined",
      affected: "Affected",
      trims: "Claw trims",
      bled: "Bled",
      overTrimmed: "Over-trimmed",
      leftLong: "Left long",
      reason: "Why",
      lastLook: "Last look",
      checkBy: "Check by",
      expected: "Longest claw expected",
      firstSign: "First sign",
      treatment: "Days to treatment",
      closed: "Seen sound",
      what: "What",
      note: "Note",
      lookedAt: "Looked at",
      flagged: "Flagged",
      example: "Example",
      advice: "What to do",
    },
    urgency: { now: "now", staged: "next stage", due: "due", routine: "in its time" },
    stillOpen: "still open",
    groupValue: (kind, value) => (kind === "foot" ? (englishFeet[value] ?? value) : value),
  },
  es: {
    growthQuestion: "¿Qué tan rápido crecen las pezuñas aquí?",
    growthHeading: (rate) => `Aquí las pezuñas crecen ${rate}`,
    growthNone: "No hay dos largos de un mismo dedo, así que no se puede saber el crecimiento",
    growthSentence: (rate, animals) =>
      `El casco creció ${rate}, descontado el desgaste, en ${count(animals, "cabra", "cabras")}.`,
    growthByQuestion: {
      foot: "¿Crecen igual las patas?",
      pen: "¿Crecen más rápido en algunos corrales?",
      ground: "¿Va con el suelo?",
      line: "¿Crecen más rápido las pezuñas de algunas líneas?",
      age_band: "¿Va con la edad?",
      class: "¿Difieren las cabras en ordeña, secas y en crecimiento?",
      arm: "¿Difirieron los grupos del estudio?",
    },
    growthByHeading: (fastest, slowest, apart) =>
      apart
        ? `El casco crece más en ${fastest} y menos en ${slowest}`
        : `Sin diferencia clara: ${fastest} queda más alto, pero los intervalos se cruzan`,
    growthAxis: (unit) => `crecimiento, ${unit} al mes, con límites del 95 %`,
    flockMean: "todo el rebaño",
    lamenessQuestion: "¿Cuánto del rebaño cojea?",
    lamenessHeading: (lame, scored) =>
      lame === 0
        ? `Ninguna de las ${scored} cabras calificadas cojeaba`
        : `${lame} de ${scored} cabras calificadas cojearon alguna vez`,
    lamenessNone: "Sin calificaciones de marcha no se puede saber la cojera",
    lamenessSentence: (lame, scored, share) =>
      lame === 0
        ? `Ninguna de ${count(scored, "cabra calificada", "cabras calificadas")} cojeaba: a lo más ${share}.`
        : `${lame} de ${scored} cabras calificadas cojearon alguna vez: ${share}.`,
    pointSentence: (share, scores) => `En un día cojeaba ${share} (${scores} calificaciones).`,
    incidenceSentence: (cases, rate, gap) =>
      cases === 0
        ? "No se vio ningún caso nuevo entre dos calificaciones."
        : `${cases === 1 ? "Se vio 1 caso nuevo" : `Se vieron ${cases} casos nuevos`}, ${rate} por 100 cabra-meses, con unos ${gap} días entre calificaciones.`,
    lamenessByQuestion: {
      pen: "¿Dónde están las cojas?",
      line: "¿Cojean más algunas líneas?",
      ground: "¿Va con el suelo?",
      age_band: "¿Va con la edad?",
    },
    lamenessByHeading: (most, least, apart) =>
      apart
        ? `Hubo más cojera en ${most} y menos en ${least}`
        : `Sin diferencia clara: ${most} queda más alto, pero los intervalos se cruzan`,
    lamenessAxis: "calificaciones con cojera, con límites del 95 %",
    retrimQuestion: "¿Cuánto dura un recorte?",
    retrimHeading: (days) => `La mitad de los recortes había pasado el límite al día ${days}`,
    retrimNone: "Muy pocas revisiones después de recortar para decir cuánto dura",
    retrimSentence: (days, limit) =>
      `Un recorte dura unos ${days} días hasta que algún dedo sobresale ${limit} de la palma.`,
    retrimBeyond: (day) =>
      `Menos de la mitad de los recortes se vio pasada al día ${day}, la última revisión`,
    retrimAxisDays: "días después del recorte",
    retrimAxisShare: "parte aún dentro del límite",
    retrimUnknown: "las revisiones no dicen cuándo dentro de estos días",
    retrimMedian: (days) => `la mitad al día ${days}`,
    retrimByQuestion: "¿Dura más un recorte en algún suelo?",
    retrimByHeading: (longest, shortest, apart) =>
      apart
        ? `Los recortes duran más en ${longest} y menos en ${shortest}`
        : `Sin diferencia clara: en ${longest} duran más, pero los intervalos se cruzan`,
    lesionQuestion: "¿Qué se encontró en las patas?",
    lesionHeading: (lesion, affected, examined) =>
      `Lo más común fue ${lesion}: ${affected} de ${examined} revisadas`,
    lesionClean: (examined) => `No se encontró lesión en las ${examined} cabras revisadas`,
    lesionNone: "Esta temporada no se revisaron patas por lesiones",
    caseQuestion: "¿Cuántos casos hubo y qué tan pronto se trataron?",
    caseHeading: (cases, open) =>
      `${count(cases, "caso empezó", "casos empezaron")} esta temporada; ${open === 0 ? "ninguno sigue abierto" : count(open, "sigue abierto", "siguen abiertos")}`,
    caseNone: "Ningún caso empezó esta temporada",
    caseSentence: (cases, treated, median) =>
      `${count(cases, "caso empezó", "casos empezaron")}; ${treated} con tratamiento registrado, la mitad en ${median} días desde el primer signo.`,
    repeatSentence: (repeats) =>
      repeats === 0
        ? "Ninguno volvió dentro de 180 días."
        : `${count(repeats, "caso fue", "casos fueron")} una recaída dentro de 180 días.`,
    trimQuestion: "¿Cómo salieron los recortes?",
    trimHeading: (bled, trims) =>
      bled === 0
        ? `Ninguno de ${trims} recortes de dedo sangró`
        : `${bled} de ${trims} recortes de dedo sangraron`,
    trimOutside: (who) => `${who} queda fuera de lo que daría el azar.`,
    trimNone: "Sin recortes esta temporada",
    stagedSentence: (staged, followed) =>
      `De ${count(staged, "recorte por etapas", "recortes por etapas")} con etapa pendiente, ${followed} la tuvieron entre 3 y 21 días.`,
    checkQuestion: "¿A quién revisar después?",
    checkHeading: (now, due) =>
      now === 0 && due === 0
        ? "Ninguna cabra espera revisión"
        : now === 0
          ? `${count(due, "cabra toca", "cabras tocan")} revisión`
          : `${count(now, "cabra", "cabras")} por revisar ahora y ${due} más que ya tocan`,
    checkSentence: (now, due, present) =>
      `De ${present} presentes, ${count(now, "cabra pide", "cabras piden")} revisión ahora y a ${due} más ya les toca.`,
    animalsQuestion: "¿Qué cabras vigilar?",
    animalsHeading: (n) =>
      n === 0
        ? "A ninguna cabra le crece claramente más rápido que al rebaño"
        : `A ${count(n, "cabra le crece", "cabras les crece")} claramente más rápido que al rebaño`,
    animalsNone: "Ninguna cabra tiene suficientes intervalos para una cifra propia",
    qualityQuestion: "¿Qué de los registros pide una mirada?",
    qualityHeading: (flagged) =>
      flagged === 0
        ? "Nada llamó la atención en los registros"
        : `${flagged} tipos de registro piden una mirada`,
    overlap: "Todos los intervalos se cruzan: el orden de esta lista no es evidencia.",
    rests: (animals, rows, what) =>
      `${count(animals, "cabra", "cabras")}, ${rows} ${{ intervals: "intervalos entre visitas", scores: "calificaciones", spells: "periodos desde un recorte", trims: "recortes de dedo", cases: "casos", examined: "revisiones" }[what]}`,
    columns: {
      group: "Grupo",
      animal: "Cabra",
      pen: "Corral",
      animals: "Cabras",
      intervals: "Intervalos",
      rate: "Crecimiento al mes",
      limits: "Límites del 95 %",
      scored: "Calificadas",
      lame: "Cojas",
      share: "Parte",
      scores: "Calificaciones",
      median: "La mitad al día",
      spells: "Periodos",
      lesion: "Hallazgo",
      examined: "Revisadas",
      affected: "Afectadas",
      trims: "Recortes de dedo",
      bled: "Sangraron",
      overTrimmed: "Recortados de más",
      leftLong: "Dejados largos",
      reason: "Por qué",
      lastLook: "Última revisión",
      checkBy: "Revisar antes de",
      expected: "Dedo más largo esperado",
      firstSign: "Primer signo",
      treatment: "Días al tratamiento",
      closed: "Vista sana",
      what: "Qué",
      note: "Nota",
      lookedAt: "Vistos",
      flagged: "Marcados",
      example: "Ejemplo",
      advice: "Qué hacer",
    },
    urgency: { now: "ahora", staged: "siguiente etapa", due: "ya toca", routine: "a su tiempo" },
    stillOpen: "sigue abierto",
    groupValue: (_kind, value) => spanishValues[value] ?? value,
  },
};

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
