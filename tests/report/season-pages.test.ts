import { describe, expect, test } from "vitest";
import { associationTable } from "../../src/findings/association/association-tables.ts";
import { seasonChangeTable } from "../../src/findings/season-change.ts";
import { chartDrawer } from "../../src/output/draw-chart.ts";
import { languages } from "../../src/records/language.ts";
import { animalAnchor } from "../../src/report/animal-anchor.ts";
import { animalsPages } from "../../src/report/animals-page.tsx";
import { handoutPage } from "../../src/report/handout-page.tsx";
import { indexPage } from "../../src/report/index-page.tsx";
import type { PageFile } from "../../src/report/page-shell.tsx";
import { seasonPage } from "../../src/report/season-page.tsx";
import { readers, type SeasonPageInput } from "../../src/report/season-page-input.ts";
import { worklistPage } from "../../src/report/worklist-page.tsx";
import { fullFlock, hostile } from "./full-flock.ts";
import { rowOf, seasonInput } from "./season-fixture.ts";

const draw = chartDrawer();

async function allPages(input: SeasonPageInput): Promise<readonly PageFile[]> {
  const files: PageFile[] = [
    { path: "index.html", content: indexPage(input, input.seasons.slice(-1)) },
    { path: "worklist.html", content: worklistPage(input, input.findings.nextCheck) },
    ...animalsPages(input),
    await handoutPage(input, draw),
  ];
  for (const reader of readers) files.push(...(await seasonPage(input, reader, draw)));
  return files;
}

/** The text of a page as a reader sees it. */
function textOf(html: string): string {
  return html
    .replace(/<style>.*?<\/style>/gs, "")
    .replace(/<svg.*?<\/svg>/gs, "")
    .replace(/<[^>]+>/g, " ")
    .replaceAll("&lt;", "<")
    .replaceAll("&quot;", '"')
    .replaceAll("&amp;", "&")
    .replaceAll("\u00a0", " ")
    .replace(/\s+/g, " ");
}

async function readerPage(input: SeasonPageInput, reader: (typeof readers)[number]): Promise<string> {
  return (await seasonPage(input, reader, draw))[0]!.content;
}

describe.each(languages)("every page, in %s", (language) => {
  test("shows names as text, whatever they hold", async () => {
    for (const { path, content } of (await allPages(fullFlock(language))).filter(({ path }) =>
      path.endsWith(".html"),
    )) {
      expect(content, path).not.toMatch(/<script|<img|<svg onload|<i>|<b>|<u>/);
      expect(content.match(/<title>/g)!.length, path).toBeGreaterThan(0);
    }
  });

  test("says only what its language says", async () => {
    const said = textOf(await readerPage(fullFlock(language), "vet"));
    expect(said.includes("The short answer")).toBe(language === "en");
    expect(said.includes("La respuesta corta")).toBe(language === "es");
    expect(said).not.toMatch(/undefined|NaN|\[object|null/);
  });

  test("has a policy, a language, and nothing that the policy would refuse", async () => {
    for (const { path, content } of (await allPages(fullFlock(language))).filter(({ path }) =>
      path.endsWith(".html"),
    )) {
      expect(content, path).toContain(`<html lang="${language}">`);
      expect(content, path).toContain('http-equiv="Content-Security-Policy"');
      expect(content, path).not.toMatch(/ style="| on\w+="/);
    }
  });
});

describe("links", () => {
  test("every link leads to a page, a list or a section that is there", async () => {
    const files = await allPages(fullFlock());
    const known = new Set([...files.map(({ path }) => path), "intake.html", "worklist.csv"]);
    const ids = new Map(
      files.map(({ path, content }) => [
        path,
        new Set(Array.from(content.matchAll(/ id="([^"]+)"/g), (m) => m[1])),
      ]),
    );
    for (const { path, content } of files.filter((file) => file.path.endsWith(".html"))) {
      const folder = path.includes("/") ? path.slice(0, path.lastIndexOf("/") + 1) : "";
      for (const [, href] of content.matchAll(/<a [^>]*href="([^"]+)"/g)) {
        const [file, id] = href!.split("#");
        const target = file === "" ? path : file!.startsWith("../") ? file!.slice(3) : folder + file;
        // the season before is not written here
        if (target.startsWith("2023-winter/")) continue;
        expect(known.has(target), `${path}: ${href}`).toBe(true);
        if (id) expect(ids.get(target)?.has(id), `${path}: ${href}`).toBe(true);
      }
    }
  });

  test("every tag has a panel of its own, even tags that differ in a sign alone", () => {
    expect(animalAnchor("A 1")).not.toBe(animalAnchor("A-1"));
    expect(animalAnchor("A_1")).not.toBe(animalAnchor("A 1"));
    expect(animalAnchor(hostile.animal)).toMatch(/^goat-[\w-]+$/);
  });
});

describe("sentences tell the cells of the tables", () => {
  // Expected sentences are written by hand from the rows of the fixture: 3.302 mm is 0.13 inch, 9.5 mm is 3/8 inch.
  test("the vet's short answer, the strongest evidence first", async () => {
    const html = await readerPage(fullFlock(), "vet");
    const answers = Array.from(
      /<section class="answer".*?<\/section>/s.exec(html)![0].matchAll(/<li>(.*?)<\/li>/gs),
      (m) => textOf(m[1]!).trim(),
    );
    expect(answers).toEqual([
      "Of 3 present on the day, 1 goat wants looking at now and 1 more is due.",
      "2 of 12 goats scored were lame at some time: 17 % (5 to 45 %). On a day, 7 % (4 to 14 %) were lame (72 scores).",
      "Lame on a day: 7 % (4 to 14 %) this season; 7 % in winter 2023.",
      `${hostile.pen} in April 2024: more lame scores than chance gives.`,
      "2 cases began this season; 1 is still open.",
      "Footrot was the most common finding: 2 of 10 goats examined, 20 % (2 to 50 %).",
      // 12 % (6 to 24 %) and 2 % (1 to 4 %) lie apart
      `Lameness was most common in ${hostile.pen}, 12 % (6 to 24 %) of scores in 12 goats, and least in Creek, 2 % (1 to 4 %) in 12 goats.`,
    ]);
  });

  test("growth, retrim and lines in the flock's own units", async () => {
    const study = textOf(await readerPage(fullFlock(), "extension"));
    expect(study).toContain("Hooves grew 0.13 inch a month (0.12 to 0.14) net of wear, in 12 goats.");
    expect(study).toContain(
      "A trim lasts about 56 (49 to 63) days until some claw stands 3/8 inch past the pad (half of trims, all seasons).",
    );
    const breeder = textOf(await readerPage(fullFlock(), "breeder"));
    // 0.508 mm is 0.02 inch
    expect(breeder).toContain(
      "hooves grow faster than the other lines' by 0.020 inch a month (0.010 to 0.030); more than 99 in 100 that they are faster.",
    );
    expect(breeder).toContain("1 goat is inbred at one in sixteen or more; most of all E2, 0.125");
  });

  test("cases: days to treatment, and the closed ones folded away", async () => {
    const html = await readerPage(fullFlock(), "vet");
    expect(textOf(html)).toContain(
      "1 of 2, in 2 goats, has a treatment on record, half of these within 2 days of the first sign. None was a repeat within 180 days.",
    );
    expect(html).toMatch(/<details><summary>1 case since seen sound<\/summary>/);
  });

  test("pens month by month: the month above chance, the running sum's signal, new cases", async () => {
    const html = await readerPage(fullFlock(), "vet");
    const said = textOf(html);
    expect(said).toContain(`${hostile.pen} in April 2024: more lame scores than chance gives.`);
    expect(said).toContain(
      `${hostile.pen}: from 20 March 2024 to 17 April 2024 lame scores added up and passed what chance gives (6 against 1.2 expected from the season before).`,
    );
    expect(said).toContain("New cases by month: March 2024 0, April 2024 2, May 2024 0.");
    // a chart a pen, drawn once
    expect(html.split('id="pen-months"')[1]!.split("</section>")[0]!.match(/<svg/g)).toHaveLength(2);
  });

  test("months of pens within chance say so, with how many they are; other scales have no part", async () => {
    const full = fullFlock();
    const pensOf = async (monthWatch: SeasonPageInput["findings"]["monthWatch"]): Promise<string> =>
      textOf(await readerPage({ ...full, findings: { ...full.findings, monthWatch, signals: [] } }, "vet"));
    const { monthWatch } = full.findings;
    expect(await pensOf(monthWatch.filter(({ outside }) => !outside))).toContain(
      "None of 2 months of pens this season stands above what chance gives",
    );
    expect(await pensOf(monthWatch.map((row) => ({ ...row, gait_scale: "0-3" })))).not.toContain(
      "Was any pen lamer than chance gives",
    );
  });

  test("days to retrim are whole days", async () => {
    const full = fullFlock();
    const retrimSummary = full.findings.retrimSummary.map((row) => ({ ...row, median_days: 40.9025 }));
    const input = { ...full, findings: { ...full.findings, retrimSummary } };
    expect(textOf(await readerPage(input, "extension"))).toContain(
      "Half of trims were past the limit by day 41",
    );
  });

  test("an association that goes down is a fall by a size without a sign", async () => {
    const full = fullFlock();
    const association = [
      rowOf(associationTable, {
        outcome: "growth",
        exposure: "wetness",
        level: "within_pen",
        check: "main",
        effect: -0.508,
        lo: -0.762,
        hi: -0.254,
        effect_kind: "mm_per_30d",
        claim: true,
      }),
    ];
    const input = { ...full, findings: { ...full.findings, association } };
    // 0.508 mm is 0.02 inch
    expect(textOf(await readerPage(input, "extension"))).toMatch(
      /growth was slower [^.]*by 0\.020 inch a month \(0\.010 to 0\.030\)\./,
    );
  });

  test("goats taken as sound in a round are told apart from those scored", async () => {
    const full = fullFlock();
    const lameness = full.findings.lameness.map((row) => ({ ...row, scored_animals: 20 }));
    const input = { ...full, findings: { ...full.findings, lameness } };
    expect(textOf(await readerPage(input, "vet"))).toContain(
      "12 scored for gait, 8 more taken as sound in a round",
    );
  });

  test("a season beside the others: what changed, over all goats and over those of both seasons", async () => {
    const full = fullFlock();
    const changed = async (lo: number, hi: number): Promise<string> => {
      const row = rowOf(seasonChangeTable, {
        measure: "lame_on_a_day",
        season: "2024-spring",
        group_kind: "flock",
        against: "previous",
        gait_scale: "1-5",
        difference: 0.06,
        lo,
        hi,
        animals_in_both: 11,
        same_animals_difference: 0.05,
        same_lo: 0.01,
        same_hi: 0.1,
      });
      return textOf(
        await readerPage({ ...full, findings: { ...full.findings, seasonChange: [row] } }, "vet"),
      );
    };
    const up = await changed(0.02, 0.11);
    expect(up).toContain("Lame on a day: 7 %, more than in winter 2023 (7 %)");
    expect(up).toContain("7 % in winter 2023, a change of 6 points (2 to 11).");
    expect(up).toContain("the 11 goats of both seasons alone: a change of 5 points (1 to 10).");
    expect(await changed(-0.01, 0.11)).toContain("Lame on a day: 7 %, not clearly other than in winter 2023");
    expect(await changed(-0.11, -0.02)).toContain("Lame on a day: 7 %, less than in winter 2023");
  });

  test("records and counts at the top", async () => {
    const said = textOf(await readerPage(fullFlock(), "vet"));
    expect(said).toContain("12 present at some time, 12 looked at, 11 measured, 12 scored for gait");
    expect(said).toContain("1,412 read: 1,400 taken, 10 set aside, 2 exact repeats");
  });
});

describe("what a page must not hide, and must not tell", () => {
  test("a list whose intervals all overlap says that its order is no evidence", async () => {
    const note = "All intervals overlap: the order of this list is not evidence.";
    const input = fullFlock();
    // pens lie apart (4.2 and 2.6 mm), lines overlap (3.5 and 3.2 mm)
    const sections = (await readerPage(input, "breeder")).split("<section ");
    expect(sections.find((part) => part.startsWith('id="growth-line"'))).toContain(note);
    const study = (await readerPage(input, "extension")).split("<section ");
    expect(study.find((part) => part.startsWith('id="growth-pen"'))).not.toContain(note);
  });

  test("a group too small to tell of keeps its row, with the reason", async () => {
    const section = (await readerPage(fullFlock(), "breeder"))
      .split("<section ")
      .find((part) => part.startsWith('id="growth-line"'))!;
    expect(section).toContain("line not known");
    expect(section).toContain("Too few animals to tell (2; 5 needed)");
  });

  test("people stay unnamed unless the flock says otherwise", async () => {
    const input = fullFlock();
    const unnamed = textOf(await readerPage(input, "vet"));
    expect(unnamed).toContain("Scorer 1, Scorer 2");
    expect(unnamed).toContain("Trimmer 2");
    expect(unnamed).not.toMatch(/Wren|Perrin|Tobin/);
    const named = textOf(await readerPage({ ...input, flock: { ...input.flock, namePeople: true } }, "vet"));
    expect(named).toContain("Wren, Perrin");
    expect(named).toContain("Tobin");
  });

  test("a season that is past lists nobody to look at", async () => {
    const input = fullFlock();
    const past = await readerPage({ ...input, season: { ...input.season, isCurrent: false } }, "vet");
    expect(past).not.toContain('id="next"');
    expect(await readerPage(input, "vet")).toContain('id="next"');
  });

  test("without any record every question says what cannot be told", async () => {
    const said = textOf(await readerPage(seasonInput(), "vet"));
    expect(said).toContain("What this season cannot tell, and the record that would");
    expect(said).toContain("No gait scores this season, so lameness cannot be told.");
    expect(said).toContain("No feet were examined for lesions this season.");
  });

  test("an old last record is told of at the top", async () => {
    const input = seasonInput({ lastRecord: seasonInput().today - 22 });
    expect(textOf(await readerPage(input, "vet"))).toContain("The last record is 22 days old.");
    const fresh = seasonInput({ lastRecord: seasonInput().today - 21 });
    expect(textOf(await readerPage(fresh, "vet"))).not.toContain("days old");
  });

  test("the words of risk and cause are on no page", async () => {
    for (const { content } of await allPages(fullFlock())) {
      expect(textOf(content)).not.toMatch(/\bsignifican|\brisk factor|\bcauses\b/i);
    }
  });
});

describe("the extension agent's page", () => {
  test("has all 22 items of the checklist, each with its place or the author's part", async () => {
    const section = (await readerPage(fullFlock(), "extension"))
      .split('id="checklist"')[1]!
      .split('id="tables"')[0]!;
    expect(section.match(/<th scope="row"/g)).toHaveLength(22);
    expect(section).toContain('href="#methods"');
    expect(section).toContain('href="#flow"');
    expect(section).toContain("yours to write");
  });

  test("refers to each table at its end by its number, once", async () => {
    const html = await readerPage(fullFlock(), "extension");
    const [page, tables] = html.split('id="tables"') as [string, string];
    const linked = Array.from(page.matchAll(/<a href="#table-(\d+)">Table (\d+)<\/a>/g), ([, at, n]) => [
      at,
      n,
    ]);
    const stand = Array.from(tables.matchAll(/id="table-(\d+)"[^>]*><h3>Table (\d+)\. /g), ([, at, n]) => [
      at,
      n,
    ]);
    expect(stand.length).toBeGreaterThan(5);
    expect(linked).toEqual(stand);
    expect(stand.map(([, n]) => Number(n))).toEqual(stand.map((_, i) => i + 1));
    expect(page).not.toContain("<details>");
  });

  test("shows the checks of an association beside it, and says which turns it", async () => {
    const slope = (check: string, effect: number, lo: number, hi: number, more = {}) =>
      rowOf(associationTable, {
        outcome: "new_lameness",
        exposure: "wetness",
        level: "within_pen",
        check,
        effect,
        lo,
        hi,
        effect_kind: "rate_ratio",
        ...more,
      });
    const association = [
      slope("main", 1.42, 1.12, 1.81),
      slope("unadjusted", 1.31, 1.04, 1.62),
      slope("other_lag", 0.52, 0.31, 0.84, { lag_days: 14 }),
      ...["Creek", "Mill", "Yard"].map((left_out, i) =>
        slope("leave_out_pen", 1.2 + i / 10, 0.9, 2.1, { left_out }),
      ),
    ];
    const full = fullFlock();
    const html = await readerPage({ ...full, findings: { ...full.findings, association } }, "extension");
    const section = textOf(html.split('id="sensitivity"')[1]!.split("</section>")[0]!).replaceAll(
      "\u00a0",
      " ",
    );
    expect(section).toContain("1 of 5 checks points the other way");
    expect(section).toMatch(
      /wet ground\s*1\.4 \(1\.1 to 1\.8\)\s*1\.3 \(1\.0 to 1\.6\)\s*0\.52 \(0\.31 to 0\.84\), the other way\s*1\.2 without Creek; 1\.4 without Yard/,
    );
  });

  test("methods speak only of what was done", async () => {
    const said = textOf(await readerPage(fullFlock(), "extension"));
    expect(said).toContain(
      "Gait was scored on the scale 1-5 by 2 scorers; a score from 3 on counts as lame.",
    );
    expect(said).not.toContain("Forecasts. The chance");
    expect(textOf(await readerPage(seasonInput(), "extension"))).toContain("Gait was not scored.");
  });
});

describe("the work list", () => {
  const html = worklistPage(fullFlock(), fullFlock().findings.nextCheck);

  test("has one row a goat, with its orders, its reasons and columns to write in", () => {
    const said = textOf(html);
    expect(html.match(/<th scope="row" class="tag"/g)).toHaveLength(3);
    expect(said).toContain("1, 12");
    expect(said).toContain("lame at the last look (score 4); footrot, not yet seen healed");
    expect(said).toContain("Longest then: about 3/8 inch, left front inner.");
    expect(html.match(/<td class="blank"/g)).toHaveLength(3 * 5);
  });

  test("repeats the scales on every printed page, and the name of a pen with a page of its own", () => {
    const [first] = fullFlock().findings.nextCheck;
    const penOf = (goats: number): string =>
      worklistPage(
        fullFlock(),
        Array.from({ length: goats }, (_, i) => ({
          ...first!,
          animal: `T${i}`,
          pen: "Creek",
          look_order: i,
        })),
      );
    expect(penOf(6)).toMatch(/<thead><tr><th class="pen"[^>]*>Creek: 6 goats/);
    expect(textOf(/<tfoot>.*?<\/tfoot>/s.exec(penOf(6))![0])).toContain(
      "Gait scale 1-5, lame from 3. Overgrowth: 0 level",
    );
    expect(penOf(5)).toMatch(/<tbody class="whole"><tr><th class="pen"[^>]*>Creek: 5 goats/);
  });

  test("small pens that follow each other share a table, each under its own name", () => {
    const [first] = fullFlock().findings.nextCheck;
    const goats = ["Creek", "Mill", "Yard"].map((pen, i) => ({
      ...first!,
      animal: `T${i}`,
      pen,
      look_order: i,
    }));
    const list = worklistPage(fullFlock(), goats);
    expect(list.match(/<table class="barn"/g)).toHaveLength(1);
    expect(Array.from(list.matchAll(/class="pen"[^>]*>([^<]*)</g), (found) => found[1])).toEqual([
      "Creek: 1 goat",
      "Mill: 1 goat",
      "Yard: 1 goat",
    ]);
  });
});
