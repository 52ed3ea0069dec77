import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, describe, expect, test } from "vitest";
import { openNativeBook } from "../../pipelines/native-book.ts";
import { call, scratchFolder } from "./recording-rim.ts";

/*
 * A small flock in which every name is a word that stands nowhere in the program, so that finding it anywhere in an
 * output is a leak. Names carry what breaks careless text handling: commas, quotes, markup, accents, percent signs.
 */
const goats = ["Qx’ulu-1", "Vrbňák, 2", "Zzyzx<3>", "Wÿght;4", "Fnørd%5", "Jqbo(6)", 'Kzwa"7', "Pjxq 8"];
const sire = "Oberon-Skøg";
const otherTag = "XK-9917-ŁT";
const pens = ["Cwmystradllyn", "Hrrpyt & Sohn"];
const people = ["Ælfþryð Qvist", "Nkrumaħ, Z."];
const product = "Zorblax®-Hufsalbe";
const feed = "Grummet-Qwerty-Heu";
const treatment = "Rubbed with Vlorp";
const line = "Ystradgynlais";
const arm = "Brxl sand";
const flockName = "Llanfair–Pwllgwyngyll <Höf>";
const remark = "kicked Mrs Ptolemaïs in the shin";
const oldFlock = "Krásný Dvůr";
const correctionReason = "slip of Wojciech’s pen";
const files = ["Tägliche Żabka trims.csv", "Geiß animals.csv"];

const originals = [
  ...[
    ...goats,
    sire,
    otherTag,
    ...pens,
    ...people,
    product,
    feed,
    treatment,
    line,
    arm,
    flockName,
    remark,
    oldFlock,
  ],
  ...[
    correctionReason,
    ...files,
    "llanfair-hof-77",
    "58.1234",
    "Pumpernickel-Zöe",
    "BATCH-QQ81",
    "2016-05-17",
  ],
];

const cell = (text: string): string => (/[",;\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);
const sheet = (rows: readonly (readonly string[])[]): string =>
  rows.map((row) => row.map(cell).join(",")).join("\n");

/** Visits every six weeks: each goat's claws at 30 mm after a trim, longer before the next; two lame at times. */
function writeFlock(folder: string): void {
  mkdirSync(folder, { recursive: true });
  const days = ["2024-03-05", "2024-04-16", "2024-05-28", "2024-07-09", "2024-08-20", "2024-10-01"];
  const put = (name: string, rows: readonly (readonly string[])[]): void =>
    writeFileSync(join(folder, name), sheet(rows));
  writeFileSync(
    join(folder, "flock.toml"),
    `id = "llanfair-hof-77"\nname = "${flockName}"\nunits = "mm"\nlatitude = 58.1234\nelevation_m = 431\ngait_scale = "1-5"\nlame_from = 3\nname_people = true\nscorers = ["${people[0]}"]\n`,
  );
  put(files[1]!, [
    [
      "animal",
      "name",
      "other_tags",
      "sex",
      "born",
      "sire",
      "line",
      "breed",
      "from_flock",
      "left_reason",
      "note",
    ],
    ...goats.map((goat, i) => [
      ...[
        goat,
        i === 0 ? "Pumpernickel-Zöe" : "",
        i === 1 ? otherTag : "",
        "female",
        "2016-05-17",
        sire,
        line,
      ],
      ...["Alpine", i === 2 ? oldFlock : "", "", i === 3 ? remark : ""],
    ]),
    [sire, "", "", "male", "2013-02-01", "", "", "", "", "", ""],
  ]);
  put("pens.csv", [
    ["pen", "ground"],
    [pens[0]!, "pasture"],
    [pens[1]!, "concrete"],
  ]);
  put("stays.csv", [
    ["animal", "pen", "from"],
    ...goats.map((goat, i) => [goat, pens[i % 2]!, "2024-01-01"]),
  ]);
  put(files[0]!, [
    [
      "animal",
      "date",
      "foot",
      "claw",
      "toe_before_mm",
      "toe_after_mm",
      "trimmed",
      "trimmer",
      "measurer",
      "note",
    ],
    ...days.flatMap((day, k) =>
      goats.flatMap((goat, i) =>
        ["LF", "RH"].map((foot) => [
          ...[goat, day, foot, "outer", String(36 + ((i + k) % 4)), "30", "yes", people[i % 2]!, people[1]!],
          i === 0 && k === 1 ? remark : "",
        ]),
      ),
    ),
  ]);
  put("gaits.csv", [
    ["animal", "date", "gait", "scorer", "note"],
    ...days.flatMap((day, k) =>
      goats.map((goat, i) => [
        goat,
        day,
        (i + k) % 4 === 0 ? "4" : "1",
        people[0]!,
        i === 4 && k === 3 ? "blisters on the mouth, drooling" : "",
      ]),
    ),
  ]);
  put("lesions.csv", [
    ["animal", "date", "foot", "lesion", "severity", "examiner", "note"],
    [goats[2]!, days[1]!, "LF", "footrot", "as Ptolemaïs would say", people[1]!, remark],
    [goats[4]!, days[5]!, "LF", "white line abscess", "severe", people[1]!, ""],
  ]);
  put("treatments.csv", [
    ["animal", "date", "foot", "treatment", "product", "batch", "reason", "prescribed_by", "dose"],
    [goats[2]!, days[1]!, "LF", treatment, product, "BATCH-QQ81", remark, people[1]!, "a Ptolemaïs spoonful"],
  ]);
  put("minerals.csv", [
    ["pen", "from", "product", "copper_mg_per_kg", "offered_g_per_head_day", "refused_g_per_head_day"],
    ...pens.map((pen) => [pen, "2024-01-01", product, "1800", "8", "0"]),
  ]);
  put("feeds.csv", [
    [
      "pen",
      "from",
      "feed",
      "kg_per_head_day",
      "dry_matter_pct",
      "crude_protein_pct_dm",
      "copper_mg_per_kg_dm",
    ],
    ...pens.map((pen) => [pen, "2024-01-01", feed, "2", "89", "13", "8"]),
  ]);
  put("trial.csv", [
    ["pen", "arm", "from"],
    [pens[0]!, arm, "2024-06-01"],
    [pens[1]!, "as before", "2024-06-01"],
  ]);
  put("events.csv", [
    ["date", "pen", "event", "note"],
    [days[2]!, pens[0]!, "footbath", remark],
  ]);
  put("corrections.csv", [
    ["file", "row", "column", "was", "now", "why", "who"],
    ["gaits.csv", "2", "gait", "4", "1", correctionReason, people[0]!],
  ]);
}

/** Every file below a folder, with its path from there. */
function filesBelow(folder: string): readonly string[] {
  return readdirSync(folder, { recursive: true })
    .map(String)
    .filter((path) => statSync(join(folder, path)).isFile());
}

/** As a page, a spreadsheet, a query string or JSON would write it. */
function spellings(original: string): readonly string[] {
  const markup = original.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll('"', "&quot;");
  const json = JSON.stringify(original).slice(1, -1);
  const code = original.replace(/[%,;()]/g, (c) => `%${c.charCodeAt(0).toString(16).toUpperCase()}`);
  return [
    ...new Set([
      original,
      markup,
      markup.replaceAll(">", "&gt;"),
      json,
      encodeURIComponent(original),
      original.replaceAll('"', '""'),
      code,
    ]),
  ];
}

async function leaks(folder: string): Promise<readonly string[]> {
  const found: string[] = [];
  const reader = await openNativeBook(":memory:");
  for (const path of filesBelow(folder)) {
    const bytes = readFileSync(join(folder, path), "utf8");
    // a column of a Parquet file is compressed: what it holds is read back
    const held = path.endsWith(".parquet")
      ? JSON.stringify(await reader.rows(`SELECT CAST(COLUMNS(*) AS VARCHAR) FROM '${join(folder, path)}'`))
      : "";
    for (const original of originals)
      for (const spelt of spellings(original))
        if (path.includes(spelt) || bytes.includes(spelt) || held.includes(spelt))
          found.push(`${path}: ${spelt}`);
  }
  await reader.close();
  return found;
}

describe("output without names", () => {
  const folder = scratchFolder();
  const book = join(folder, "out", "flock.duckdb");
  const at = (name: string): string => join(folder, name);
  const anonymous = (verb: string, ...words: string[]) => call(verb, ...words, "--anonymous", "--book", book);

  beforeAll(async () => {
    writeFlock(at("sheets"));
    const { code, told } = await call("run", at("sheets"), "--out", at("out"));
    expect({ code, told }).toEqual({ code: 0, told: "" });
    await anonymous("export", at("tables"), "--key", at("key.csv"));
    await anonymous("export", at("again"), "--key", at("key-again.csv"));
    await anonymous("export", at("as-sheets"), "--sheets");
    await anonymous("report", "--out", at("pages"));
    await anonymous(
      "report",
      "--out",
      at("paginas"),
      "--language",
      "es",
      "--reader",
      "vet",
      "--season",
      "latest",
    );
    await anonymous("worklist", "--out", at("list"), "--on", "2024-10-05");
  });

  test("the sheets were taken, so that there is something to leak", async () => {
    const pages = filesBelow(at("out")).filter((path) => path.endsWith(".html") || path.endsWith(".csv"));
    const all = pages.map((path) => readFileSync(join(at("out"), path), "utf8")).join("\n");
    for (const name of [goats[1]!, pens[0]!, people[0]!, line, arm]) expect(all).toContain(name);
    const wrote = await call("query", "--book", book, "SELECT count(*) AS n FROM herd.lesion", "--csv");
    expect(wrote.printed).toBe("n\n2");
  });

  test.each(["tables", "as-sheets", "pages", "paginas", "list"])(
    "%s: no byte of any original word",
    async (name) => {
      expect(filesBelow(at(name)).length).toBeGreaterThan(1);
      expect(await leaks(at(name))).toEqual([]);
    },
  );

  test("neither stands in what is printed", async () => {
    const list = await anonymous("worklist", "--on", "2024-10-05");
    const animals = await anonymous("query", "SELECT * FROM herd.animal", "--json");
    expect(JSON.parse(animals.printed)).toHaveLength(goats.length + 1);
    for (const { code, printed, told } of [list, animals]) {
      expect(code).toBe(0);
      for (const original of originals) expect(printed + told).not.toContain(original);
    }
  });

  test("the secret does not leave the book", async () => {
    const { printed } = await call(
      "query",
      "--book",
      book,
      "SELECT value FROM book.meta WHERE name = 'secret'",
      "--csv",
    );
    const secret = printed.split("\n")[1]!;
    expect(secret).toMatch(/^[0-9a-f]{64}$/);
    for (const name of ["tables", "pages"])
      for (const path of filesBelow(at(name)))
        expect(readFileSync(join(at(name), path), "utf8")).not.toContain(secret);
    expect((await anonymous("query", "SELECT * FROM book.meta", "--json")).printed).not.toContain(secret);
  });

  test("two exports of one book give the same bytes, and so does the book rebuilt", async () => {
    const read = (name: string): Record<string, string> =>
      Object.fromEntries(
        filesBelow(at(name))
          .filter((path) => path.endsWith(".csv"))
          .map((path) => [path, readFileSync(join(at(name), path), "utf8")]),
      );
    expect(read("again")).toEqual(read("tables"));
    expect(readFileSync(at("key-again.csv"), "utf8")).toBe(readFileSync(at("key.csv"), "utf8"));
    await call("run", at("sheets"), "--out", at("out"));
    await anonymous("export", at("rebuilt"), "--key", at("key-rebuilt.csv"));
    expect(readFileSync(at("key-rebuilt.csv"), "utf8")).toBe(readFileSync(at("key.csv"), "utf8"));
  });

  test("the key maps every study number back, and its rows are the original's", async () => {
    const keyed = await openNativeBook(":memory:");
    await keyed.run(
      `CREATE TABLE key AS SELECT * FROM read_csv('${at("key.csv")}', all_varchar = true, header = true)`,
    );
    await keyed.run(`ATTACH '${book}' AS original (READ_ONLY)`);
    const anonymousGaits = `read_csv('${join(at("tables"), "herd", "gait.csv")}', all_varchar = true, header = true)`;
    const [difference] = await keyed.rows<{ n: number; all: number }>(`
      WITH back AS (
        SELECT f.name AS flock, k.name AS animal, g."date" AS day, CAST(g.gait AS DOUBLE) AS gait, p.name AS scorer FROM ${anonymousGaits} g
        JOIN key f ON f.kind = 'flock' AND f."study number" = g.flock
        JOIN key k ON k.kind = 'animal' AND k.flock = f.name AND k."study number" = g.animal
        JOIN key p ON p.kind = 'person' AND p."study number" = g.scorer
      ), own AS (SELECT flock, animal, CAST("date" AS VARCHAR), gait, scorer FROM original.herd.gait)
      SELECT CAST((SELECT count(*) FROM (FROM own EXCEPT ALL FROM back)) AS INTEGER) AS n, CAST((SELECT count(*) FROM back) AS INTEGER) AS "all"`);
    expect(difference).toEqual({ n: 0, all: 48 });
    const kinds = await keyed.rows<{ kind: string; n: number }>(
      "SELECT kind, CAST(count(*) AS INTEGER) AS n FROM key GROUP BY kind ORDER BY kind",
    );
    // 8 goats and a sire; two arms; one feed; this flock and the one a goat came from; and so on as written above
    expect(Object.fromEntries(kinds.map(({ kind, n }) => [kind, n]))).toEqual({
      animal: 9,
      arm: 2,
      feed: 1,
      flock: 2,
      line: 1,
      pen: 2,
      person: 2,
      product: 1,
      treatment: 1,
    });
    await keyed.close();
  });

  test("birth dates are months, latitude whole degrees, and raw rows, corrections and remarks are gone", async () => {
    const { printed } = await anonymous(
      "query",
      `SELECT min(born_earliest) AS earliest, max(born_latest) AS latest, (SELECT settings FROM herd.flock) AS settings,
         (SELECT count(*) FROM intake.raw_row) + (SELECT count(*) FROM intake.correction) + (SELECT count(*) FROM herd.tag) AS raw
       FROM herd.animal WHERE sex = 'female'`,
      "--json",
    );
    const [row] = JSON.parse(printed) as [Record<string, string>];
    expect(row).toMatchObject({ earliest: "2016-05-01", latest: "2016-05-31", raw: "0" });
    expect(JSON.parse(row.settings!)).toMatchObject({ latitude: 58, gait_scale: "1-5", lame_from: 3 });
    expect(row.settings).not.toMatch(/elevation|scorers/);
  });

  test("the notifiable-disease caution stands without the remark that raised it", () => {
    const season = readdirSync(at("pages"))
      .filter((name) => existsSync(join(at("pages"), name, "vet.html")))
      .at(-1)!;
    const page = readFileSync(join(at("pages"), season, "vet.html"), "utf8");
    const named = readFileSync(join(at("out"), season, "vet.html"), "utf8");
    const notifiable = "may be a notifiable disease";
    expect(page.includes(notifiable)).toBe(named.includes(notifiable));
    expect(named).toContain(notifiable);
  });

  test("figures are those of the book", async () => {
    const figures =
      "SELECT season, scored_animals, lame_animals, prevalence, lo, hi FROM results.lameness WHERE group_kind = 'flock' ORDER BY ALL";
    const own = await call("query", "--book", book, figures, "--json");
    expect((await anonymous("query", figures, "--json")).printed).toBe(own.printed);
    expect(JSON.parse(own.printed).length).toBeGreaterThan(1);
  });

  test("a key is refused without --anonymous, over a file that is there, and inside what is passed on", async () => {
    const refused = async (...words: string[]) => (await call("export", ...words, "--book", book)).code;
    expect(await refused(at("x1"), "--key", at("x.csv"))).toBe(2);
    expect(await refused(at("x2"), "--anonymous", "--key", at("key.csv"))).toBe(2);
    expect(await refused(at("x3"), "--anonymous", "--key", join(at("x3"), "key.csv"))).toBe(2);
    expect(["x1", "x2", "x3"].filter((name) => existsSync(at(name)))).toEqual([]);
  });
});
