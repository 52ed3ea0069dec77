import { describe, expect, test } from "vitest";
import { breedingWords } from "../../src/report/words/breeding.ts";
import { counter, sentence } from "../../src/report/words/count.ts";
import { feetWords } from "../../src/report/words/feet.ts";
import { groupWords } from "../../src/report/words/groups.ts";
import { growthWords } from "../../src/report/words/growth.ts";
import { keeperWords } from "../../src/report/words/keeper.ts";
import { lamenessWords } from "../../src/report/words/lameness.ts";
import { penMonthsWords } from "../../src/report/words/pen-months.ts";
import { standingWords } from "../../src/report/words/standings.ts";

/** Expected sentences are written by hand, one for each form that a number can take. */

describe("counts", () => {
  test("one, several, thousands", () => {
    const goats = counter("en");
    expect(goats(0, "goat", "goats")).toBe("0 goats");
    expect(goats(1, "goat", "goats")).toBe("1 goat");
    expect(goats(1412, "goat", "goats")).toBe("1,412 goats");
  });

  test("a sentence has a capital and one full stop", () => {
    expect(sentence("épocas secas")).toBe("Épocas secas.");
    expect(sentence("Done.")).toBe("Done.");
  });
});

describe("trimmers outside what chance gives", () => {
  test("more often, less often, each beside the flock", () => {
    expect(feetWords.en.trimOutside("Trimmer 2", 14, 248, 16, 1940, true)).toBe(
      "Trimmer 2 bled or cut below the pad 14 of 248 claws, more often than chance alone would give beside the flock's 16 of 1,940.",
    );
    expect(feetWords.es.trimOutside("Recortador 2", 0, 1, 16, 40, false)).toBe(
      "Recortador 2 hizo sangrar o cortó bajo la palma 0 de 1 pezuña, menos seguido de lo que daría el azar junto a 16 de 40 del rebaño.",
    );
  });
});

describe("badly overgrown", () => {
  test("one goat and several, in Spanish with the noun's number", () => {
    expect(feetWords.es.severeHeading(1)).toBe("1 cabra está muy crecida o entre dos etapas");
    expect(feetWords.es.severeHeading(3)).toBe("3 cabras están muy crecidas o entre dos etapas");
  });
});

describe("pens month by month", () => {
  const { en, es } = penMonthsWords;
  test("none above chance, one, several, nothing known", () => {
    expect(en.heading([], 0)).toBe("The season before tells too little to say what chance alone would give");
    expect(en.heading([], 1)).toBe("None of 1 month of a pen this season stands above what chance gives");
    expect(en.heading(["Creek in May 2024", "Hill in May 2024"], 9)).toBe(
      "Creek in May 2024; Hill in May 2024: more lame scores than chance gives",
    );
    expect(es.heading([], 4)).toBe(
      "Ninguno de 4 meses de corral de esta temporada pasa de lo que da el azar",
    );
  });
});

describe("lameness", () => {
  const { en, es } = lamenessWords;
  test("none, one, several", () => {
    expect(en.heading(0, 30)).toBe("None of 30 goats scored was lame");
    expect(en.heading(1, 30)).toBe("1 of 30 goats scored was lame at some time");
    expect(en.heading(4, 30)).toBe("4 of 30 goats scored were lame at some time");
    expect(en.heading(0, 1)).toBe("The 1 goat scored was not lame");
    expect(es.heading(0, 30)).toBe("Ninguna de las 30 cabras calificadas cojeaba");
    expect(es.heading(1, 30)).toBe("1 de 30 cabras calificadas cojeó alguna vez");
    expect(es.heading(4, 30)).toBe("4 de 30 cabras calificadas cojearon alguna vez");
    expect(es.heading(1, 1)).toBe("La única cabra calificada cojeaba");
  });

  test("none lame still leaves room, and says how much", () => {
    expect(en.sentence(0, 30, "11 %")).toBe(
      "None of 30 goats scored was lame, which leaves room for up to 11 %.",
    );
    expect(es.sentence(0, 1, "79 %")).toBe(
      "Ninguna de 1 cabra calificada cojeaba, lo que deja lugar a hasta 79 %.",
    );
  });

  test("new cases: none, one, several", () => {
    expect(en.incidence(0, "0 (0 to 3)", "28")).toBe("No new case was seen between two scores.");
    expect(en.incidence(1, "2.1 (0.1 to 9.8)", "28")).toBe(
      "1 new case of lameness was seen, 2.1 (0.1 to 9.8) per 100 goat-months, with scores about 28 days apart.",
    );
    expect(es.incidence(1, "2.1 (0.1 a 9.8)", "28")).toBe(
      "Se vio 1 caso nuevo de cojera, 2.1 (0.1 a 9.8) por 100 cabra-meses, con unos 28 días entre calificaciones.",
    );
    expect(es.incidence(3, "2.1 (0.1 a 9.8)", "28")).toMatch(/^Se vieron 3 casos nuevos de cojera, /);
  });
});

describe("cases, trims and checks", () => {
  const { en, es } = feetWords;
  test("open cases: none, one, several", () => {
    expect(en.caseHeading(1, 0)).toBe("1 case began this season; none is still open");
    expect(en.caseHeading(5, 1)).toBe("5 cases began this season; 1 is still open");
    expect(en.caseHeading(5, 2)).toBe("5 cases began this season; 2 are still open");
    expect(es.caseHeading(5, 1)).toBe("5 casos empezaron esta temporada; 1 sigue abierto");
    expect(es.caseHeading(1, 0)).toBe("1 caso empezó esta temporada; ninguno sigue abierto");
  });

  test("days to treatment: none treated, one day, several", () => {
    expect(en.waitSentence(0, 3, "0", 2)).toBe("None of them, in 2 goats, has a treatment on record.");
    expect(en.waitSentence(1, 3, "1", 3)).toBe(
      "1 of 3, in 3 goats, has a treatment on record, half of these within 1 day of the first sign.",
    );
    expect(en.waitSentence(2, 3, "4", 1)).toBe(
      "2 of 3, in 1 goat, have a treatment on record, half of these within 4 days of the first sign.",
    );
  });

  test("trims that bled: none, one, several", () => {
    expect(en.trimHeading(0, 120)).toBe("None of 120 claw trims bled");
    expect(es.trimHeading(1, 120)).toBe("1 de 120 recortes de pezuña sangró");
    expect(es.trimHeading(3, 1200)).toBe("3 de 1,200 recortes de pezuña sangraron");
  });

  test("whom to look at: nobody, due alone, now alone, both", () => {
    expect(en.checkHeading(0, 0)).toBe("No goat is waiting to be looked at");
    expect(en.checkHeading(0, 1)).toBe("1 goat is due to be looked at");
    expect(en.checkHeading(2, 0)).toBe("2 goats to look at now");
    expect(en.checkHeading(1, 3)).toBe("1 goat to look at now, 3 more due");
    expect(es.checkHeading(0, 1)).toBe("A 1 cabra le toca revisión");
    expect(es.checkHeading(0, 4)).toBe("A 4 cabras les toca revisión");
  });
});

describe("groups as places", () => {
  const { en, es } = groupWords;
  test("a ground, a line and a pen each take their own preposition", () => {
    expect(
      growthWords.en.byHeading(en.place("ground", "pasture"), en.place("ground", "bedded barn"), true),
    ).toBe("Hooves grew fastest on pasture, slowest in the bedded barn");
    expect(growthWords.en.byHeading(en.place("line", "Elder"), en.place("line", "Ash"), false)).toBe(
      "No clear difference: growth was highest in the Elder line, but the intervals overlap",
    );
    expect(es.place("pen", "Corral 3")).toBe("en Corral 3");
    expect(en.label("age_band", "unknown")).toBe("age not known");
  });
});

describe("lines and goats to watch", () => {
  test("one line, two, three", () => {
    expect(breedingWords.en.growthAbove(["Elder"])).toBe(
      "Elder goats' hooves grow faster than the other lines'",
    );
    expect(breedingWords.en.lamenessAbove(["Elder", "Ash"])).toBe(
      "Elder and Ash goats go lame more often than the other lines",
    );
    expect(breedingWords.es.lamenessBelow(["Elder", "Ash", "Dune"])).toBe(
      "Las cabras Elder, Ash y Dune cojean menos que las otras líneas",
    );
  });

  test("nothing seen, one to act on, none to act on", () => {
    expect(standingWords.en.heading(0, 0, 12)).toBe(
      "Nothing was seen this season in any of 12 goats looked at",
    );
    expect(standingWords.en.heading(1, 1, 12)).toBe("1 goat wants action, 1 more wants watching");
    expect(standingWords.en.heading(0, 3, 12)).toBe("No goat wants action, 3 more want watching");
  });

  test("no word of the list tells to keep or to cull", () => {
    for (const words of Object.values(standingWords)) {
      const said = Object.values(words)
        .map((text) =>
          typeof text === "function" ? (text as (...n: number[]) => string)(2, 3, 9) : JSON.stringify(text),
        )
        .join(" ");
      expect(said).not.toMatch(/\b(keep|cull|sell|conserv|elimin|desech|vend)/i);
    }
  });
});

describe("the keeper's own pages", () => {
  test("records set aside: none, one, several", () => {
    expect(keeperWords.en.setAsideSentence(0)).toBe("No record was set aside.");
    expect(keeperWords.en.setAsideSentence(1)).toBe("1 record was set aside and does not count above.");
    expect(keeperWords.es.setAsideSentence(1)).toBe("Se apartó 1 registro, que no cuenta arriba.");
    expect(keeperWords.es.setAsideSentence(19)).toBe("Se apartaron 19 registros, que no cuentan arriba.");
  });
});
