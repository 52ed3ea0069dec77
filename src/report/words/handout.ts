import type { Language } from "../../records/language.ts";

export interface HandoutWords {
  readonly question: string;
  readonly title: (season: string) => string;
  readonly found: string;
  readonly whatToDo: string;
  /** Common practice, no source, but where one is named. */
  readonly advice: (weeks: readonly [number, number], trimTo: string) => readonly string[];
  readonly limits: string;
  readonly limitsText: (flock: string) => string;
}

export const handoutWords: Readonly<Record<Language, HandoutWords>> = {
  en: {
    question: "A page to hand out: what one flock's hooves showed",
    title: (season) => `Goats' hooves: what one flock showed, ${season}`,
    found: "What was found",
    whatToDo: "What keepers can do",
    advice: ([from, to], trimTo) => [
      `Look at every foot every ${from} to ${to} weeks and trim as needed: stony ground wears hooves, soft ground and barns do not.`,
      `After a trim the wall stands about ${trimTo} past the pad, flat, its edge in line with the hairline above.`,
      "Look at a limping or pawing goat the same day, and treat within three days.",
      "Do not trim a sore, smelling or rotten foot more than is needed to see it; ask the vet.",
      "Take a badly overgrown hoof down in stages, 3 to 14 days apart.",
      "Move goats off soggy ground; a hard dry floor will do for a while.",
      "Write down date, goat, foot, claw, length before and after: two lengths of one claw tell how fast it grows.",
    ],
    limits: "What one flock cannot tell",
    limitsText: (flock) =>
      `The figures are those of ${flock} in these months. Ground, feed, breed and weather differ from farm to farm, and so will hooves.`,
  },
  es: {
    question: "Una hoja para repartir: lo que mostraron las pezuñas de un rebaño",
    title: (season) => `Pezuñas de cabra: lo que mostró un rebaño, ${season}`,
    found: "Lo que se encontró",
    whatToDo: "Lo que puede hacer quien cuida",
    advice: ([from, to], trimTo) => [
      `Revise cada pata cada ${from} a ${to} semanas y recorte si hace falta: el suelo pedregoso desgasta, el blando y el establo no.`,
      `Tras recortar, la pared queda a ${trimTo} de la palma, plana, con el borde paralelo a la línea del pelo.`,
      "Revise el mismo día a la cabra que cojea o rasca el suelo, y trátela antes de tres días.",
      "No recorte una pata con llaga, mal olor o podrida más de lo necesario para verla; pregunte al veterinario.",
      "Baje por etapas, con 3 a 14 días entre ellas, una pezuña muy crecida.",
      "Saque a las cabras del suelo encharcado; un piso duro y seco sirve por un tiempo.",
      "Anote fecha, cabra, pata, pezuña, largo antes y después: dos largos de una misma pezuña dicen cuánto crece.",
    ],
    limits: "Lo que un solo rebaño no puede decir",
    limitsText: (flock) =>
      `Las cifras son de ${flock} en estos meses. El suelo, el alimento, la raza y el clima cambian de una granja a otra, y las pezuñas también.`,
  },
};
