import { describe, expect, it } from "vitest";
import { type KindId, kindIds, kinds } from "../../src/records/kinds.ts";
import { contextOf, lines, question, readPlain, tableOf } from "./table-of.ts";

const columnsOf = (text: string, context = contextOf(), more = {}): Record<string, string> => {
  const { understanding } = readPlain(tableOf(lines(text), more), context);
  return Object.fromEntries(
    understanding.columns.map(({ header, meaning, unit }) => [
      header,
      meaning === null
        ? "-"
        : [`${meaning.kind}.${meaning.column}`, meaning.foot, meaning.claw, unit]
            .filter((one) => one !== null)
            .join(" "),
    ]),
  );
};

const kindsOf = (text: string, context = contextOf(), more = {}): readonly KindId[] =>
  readPlain(tableOf(lines(text), more), context).understanding.kinds;

describe("the kind of a sheet", () => {
  it.each(kindIds)("is recognised from the template's own columns: %s", (kind) => {
    const headers = kinds[kind].columns.map(({ name }) => name);
    const { understanding } = readPlain(tableOf([headers, headers.map(() => "1")]));
    expect(understanding.kinds[0]).toBe(kind);
    expect(understanding.columns.map(({ meaning }) => meaning?.column)).toEqual(headers);
  });

  it.each<[KindId, string]>([
    ["animals", "Ear tag|Sex|DOB|Sire|Dam"],
    ["animals", "Arete|Nombre|Sexo|Fecha de nacimiento|Padre|Madre"],
    ["tags", "animal|old tag|from|to"],
    ["pens", "Pen|Floor|Sheep too"],
    ["pens", "Corral|Suelo|Ovejas"],
    ["stays", "Tag|Pen|In|Out"],
    ["stays", "Arete|Corral|Desde|Hasta"],
    ["trims", "Goat|Date|Leg|Toe|Before (mm)|After (mm)"],
    ["trims", "Cabra|Fecha|Pata|Dedo|Largo antes (mm)|Largo después (mm)"],
    ["gaits", "Tag|Date|Lameness score (0-4)"],
    ["gaits", "Arete|Fecha|Cojera (0-3)|Observador"],
    ["rounds", "Date|Pen|Number seen|Number lame"],
    ["rounds", "Fecha|Corral|Revisadas|Cojas"],
    ["lesions", "Tag|Date|Foot|Problem"],
    ["lesions", "Arete|Fecha|Pata|Hallazgo|Gravedad"],
    ["treatments", "Tag|Date|Treated with|Dose"],
    ["treatments", "Arete|Fecha|Tratamiento|Dosis"],
    ["rations", "Pen|From|CP (%)|Cu (ppm)"],
    ["rations", "Corral|Desde|Proteína cruda (g/kg)"],
    ["feeds", "Pen|Start|Feedstuff|Amount (lb)"],
    ["minerals", "Pen|From|Mineral|Offered (oz/head/day)"],
    ["ground", "Pen|Date|Mud score"],
    ["weather", "Date|Rainfall (mm)|Min temp (°F)"],
    ["weather", "Fecha|Lluvia (mm)|Temperatura máxima (°C)"],
    ["kiddings", "Dam|Kidding date|Kids born|Born alive"],
    ["kiddings", "Madre|Fecha de parto|Crías|Vivos"],
    ["events", "Date|Pen|What happened"],
    ["trial", "Pen|Study arm|From"],
    ["corrections", "File|Row|Column|Was|Now|Why"],
  ])("is %s for %s", (kind, headers) => {
    const cells = headers.split("|");
    expect(readPlain(tableOf([cells, cells.map(() => "1")])).understanding.kinds).toEqual([kind]);
  });

  it("is two where a gait column stands on a trims sheet", () => {
    expect(kindsOf("tag|date|foot|toe before (mm)|gait (1-5)\nA|2024-01-05|LF|40|2")).toEqual([
      "trims",
      "gaits",
    ]);
  });

  it("is trims for an animal, a date and remarks only where the sheet speaks of hooves", () => {
    const sheet = lines("tag|date|remarks\nA|2024-01-05|fine");
    expect(question(tableOf(sheet, { file: "trims.csv" })).reason).toBe("kind_not_sure(trims)");
    expect(kindsOf("tag|trim date|remarks\nA|2024-01-05|fine")).toEqual(["trims"]);
    expect(kindsOf("tag|date|remarks\nA|2024-01-05|fine", contextOf(), { worksheet: "Hooves" })).toEqual([
      "trims",
    ]);
    expect(kindsOf("Recorte de pezuñas\ntag|date|remarks\nA|2024-01-05|fine")).toEqual(["trims"]);
    const set = { kinds: { "log.csv": "trims" as const } };
    expect(kindsOf("tag|date|remarks\nA|2024-01-05|fine", contextOf({ set }), { file: "a/log.csv" })).toEqual(
      ["trims"],
    );
  });

  it("is asked where the columns leave it open", () => {
    expect(question(tableOf(lines("Pen|From|Copper (ppm)\nA|2024-01-05|12"))).reason).toBe(
      "kind_not_sure(rations%2C minerals)",
    );
    expect(question(tableOf(lines("colour|taste\nred|sweet"))).reason).toBe("kind_not_recognised");
    expect(question(tableOf(lines("tag|foot|toe before (mm)\nA|LF|12"))).reason).toBe(
      "missing_column(trims,date)",
    );
  });

  it("is what the settings answer", () => {
    const set = { kinds: { feed: "minerals" as const } };
    expect(
      kindsOf("Pen|From|Copper (ppm)\nA|2024-01-05|12", contextOf({ set }), { worksheet: "Feed" }),
    ).toEqual(["minerals"]);
  });

  it("never comes from the file's name", () => {
    expect(kindsOf("tag|date|gait (1-5)\nA|2024-01-05|2", contextOf(), { file: "hoof-trims.csv" })).toEqual([
      "gaits",
    ]);
  });
});

describe("the header", () => {
  it("is found below titles and blank rows", () => {
    const { understanding, records } = readPlain(
      tableOf(lines("Elm farm\nHoof log 2024||\n\nTag|Date|Toe before (mm)\nA|2024-01-05|40")),
    );
    expect(understanding.headerRow).toBe(4);
    expect(records.trims).toHaveLength(1);
    expect(records.trims![0]!.rowNo).toBe(5);
  });

  it("may come again, and totals may stand below", () => {
    const { records, read } = readPlain(
      tableOf(
        lines(`Tag|Date|Toe before (mm)
          A|2024-01-05|40
          Tag|Date|Toe before (mm)
          B|2024-01-06|41
          Mean||40.5
          Total: 2||`),
      ),
    );
    expect(records.trims!.map(({ animal }) => animal)).toEqual(["A", "B"]);
    expect(read.trims).toBe(2);
  });

  it("may take two rows", () => {
    const reading = readPlain(
      tableOf(
        lines("||LF||RH|\nTag|Date|inner (mm)|outer (mm)|inner (mm)|outer (mm)\nA|2024-01-05|40|41|42|43"),
      ),
    );
    expect(reading.understanding.layout).toBe("wide");
    expect(
      reading.records.trims!.map(({ foot, claw, toe_before_mm }) => [foot, claw, toe_before_mm]),
    ).toEqual([
      ["LF", "inner", 40],
      ["LF", "outer", 41],
      ["RH", "inner", 42],
      ["RH", "outer", 43],
    ]);
  });

  it("is understood without case, accents, marks and order", () => {
    expect(
      columnsOf("EAR-TAG No.|FECHA DE VISITA|Length, before [mm]|ToeAfterMm|colour\nA|2024-01-05|40|35|x"),
    ).toEqual({
      "EAR-TAG No.": "trims.animal",
      "FECHA DE VISITA": "trims.date",
      "Length, before [mm]": "trims.toe_before_mm mm",
      ToeAfterMm: "trims.toe_after_mm mm",
      colour: "-",
    });
  });

  it("takes the settings' own words for columns", () => {
    const set = { columns: { Wachstum: "toe_before_mm", Tier: "animal", Hinweis: "ignore", Tag: "date" } };
    expect(columnsOf("Tier|Tag|Wachstum (mm)|Hinweis\nA|2024-01-05|40|x", contextOf({ set }))).toEqual({
      Tier: "trims.animal",
      Tag: "trims.date",
      "Wachstum (mm)": "trims.toe_before_mm mm",
      Hinweis: "-",
    });
  });

  it("asks about two columns that mean the same and differ", () => {
    expect(
      question(tableOf(lines("tag|date|before (mm)|length before (mm)\nA|2024-01-05|40|41"))),
    ).toMatchObject({
      reason: "two_columns_of_one_meaning(toe_before_mm)",
    });
    const same = readPlain(tableOf(lines("tag|ear tag|date|before (mm)\nA|A|2024-01-05|40")));
    expect(same.records.trims).toHaveLength(1);
  });

  it("prefers a plain header to an everyday word", () => {
    expect(columnsOf("ID|Tag|Date|Before (mm)\n1|A|2024-01-05|40")).toMatchObject({
      ID: "-",
      Tag: "trims.animal",
    });
  });

  it("may name a scale", () => {
    expect(columnsOf("tag|date|Lameness score 1-5|overgrowth 0 to 3\nA|2024-01-05|2|1")).toMatchObject({
      "Lameness score 1-5": "gaits.gait 1-5",
      "overgrowth 0 to 3": "trims.overgrowth",
    });
  });

  it("tells claws from lengths by the cells where a word may head both", () => {
    expect(columnsOf("tag|date|foot|toe|after (mm)\nA|2024-01-05|LF|41|35")).toMatchObject({
      toe: "trims.toe_before_mm mm",
    });
    expect(columnsOf("tag|date|claw|toe|before (mm)\nA|2024-01-05|inner|inner|41")).toMatchObject({
      claw: "trims.claw",
      toe: "-",
    });
    expect(columnsOf("tag|date|toe|before (mm)\nA|2024-01-05|inner|41")).toMatchObject({ toe: "trims.claw" });
    expect(columnsOf("tag|date|toe\nA|2024-01-05|41")).toMatchObject({ toe: "trims.toe_before_mm mm" });
    expect(columnsOf("tag|date|foot|toe|after (mm)\nA|2024-01-05|LF|inner|35")).toMatchObject({
      toe: "trims.claw",
    });
  });

  it("asks about a unit that the column cannot have", () => {
    expect(question(tableOf(lines("tag|date|before (kg)\nA|2024-01-05|40")))).toMatchObject({
      reason: "unknown_unit(kg)",
      column: "before (kg)",
    });
  });
});

describe("a foot and claw in the header", () => {
  it.each([
    ["LF inner before (in)", "toe_before_mm LF inner in"],
    ["before - inner LF (inches)", "toe_before_mm LF inner in"],
    ["RH out toe mm", "toe_before_mm RH outer mm"],
    ["RH outer toe after (cm)", "toe_after_mm RH outer cm"],
    ["LFI before mm", "toe_before_mm LF inner mm"],
    ["rhob (mm)", "toe_before_mm RH outer mm"],
    ["Left hind medial overhang after (mm)", "overhang_after_mm LH inner mm"],
    ["delantera izquierda interna antes (mm)", "toe_before_mm LF inner mm"],
    ["trasera derecha externo después (mm)", "toe_after_mm RH outer mm"],
    ["front right lateral mark (mm)", "mark_mm RF outer mm"],
    ["LF bled", "bled LF"],
    ["RF (inner) before mm", "toe_before_mm RF inner mm"],
  ])("%s", (header, means) => {
    const { understanding } = readPlain(
      tableOf([
        ["tag", "date", header, "LH outer after (mm)"],
        ["A", "2024-01-05", "1", ""],
      ]),
    );
    const { meaning, unit } = understanding.columns[2]!;
    expect([meaning?.column, meaning?.foot, meaning?.claw, unit].filter((one) => one != null).join(" ")).toBe(
      means,
    );
    expect(understanding.layout).toBe("wide");
  });

  it("reads a lone 'in' as inches, unless another header has an outer claw", () => {
    expect(columnsOf("tag|date|LF before in|RF before in\nA|2024-01-05|1.5|1.5")).toMatchObject({
      "LF before in": "trims.toe_before_mm LF in",
    });
    expect(columnsOf("tag|date|LF before in|LF before out\nA|2024-01-05|40|41")).toMatchObject({
      "LF before in": "trims.toe_before_mm LF inner mm",
      "LF before out": "trims.toe_before_mm LF outer mm",
    });
  });

  it("leaves it to the cells what a bare place holds", () => {
    expect(columnsOf("tag|date|LF|RF\nA|2024-01-05|40|41\nB|2024-01-05|38|52")).toMatchObject({
      LF: "trims.toe_before_mm LF mm",
    });
    expect(columnsOf("tag|date|LF|RF\nA|2024-01-05|x|\nB|2024-01-05||x")).toMatchObject({
      LF: "trims.trimmed LF",
    });
    expect(columnsOf("tag|date|LF|RF\nA|2024-01-05|scald|\nB|2024-01-05|none|footrot")).toMatchObject({
      LF: "lesions.lesion LF",
    });
    expect(question(tableOf(lines("tag|date|LF|RF\nA|2024-01-05|1|2\nB|2024-01-05|3|0"))).reason).toBe(
      "kind_not_sure(trims%2C gaits)",
    );
  });

  it("takes claws across beside a foot column", () => {
    const { records } = readPlain(
      tableOf(lines("tag|date|foot|inner before (mm)|outer before (mm)\nA|2024-01-05|LF|40|41")),
    );
    expect(records.trims!.map(({ foot, claw, toe_before_mm }) => [foot, claw, toe_before_mm])).toEqual([
      ["LF", "inner", 40],
      ["LF", "outer", 41],
    ]);
  });
});

describe("the unit", () => {
  it("is the header's, the title's, the cells', the settings' or what the size leaves", () => {
    const rows = "\nA|2024-01-05|1.5\nB|2024-01-05|1.75";
    expect(columnsOf(`tag|date|before (in)${rows}`)).toMatchObject({
      "before (in)": "trims.toe_before_mm in",
    });
    expect(columnsOf(`Hooves, all in inches\ntag|date|before${rows}`)).toMatchObject({
      before: "trims.toe_before_mm in",
    });
    expect(columnsOf('tag|date|before\nA|2024-01-05|1 1/2"')).toMatchObject({
      before: "trims.toe_before_mm in",
    });
    expect(columnsOf(`tag|date|before${rows}`, contextOf({ set: { units: "in" } }))).toMatchObject({
      before: "trims.toe_before_mm in",
    });
    expect(columnsOf("tag|date|before\nA|2024-01-05|41\nB|2024-01-05|38")).toMatchObject({
      before: "trims.toe_before_mm mm",
    });
    expect(columnsOf("tag|date|before\nA|2024-01-05|1 3/8")).toMatchObject({
      before: "trims.toe_before_mm in",
    });
  });

  it("is asked where the size leaves two", () => {
    expect(question(tableOf(lines("tag|date|before\nA|2024-01-05|1.5\nB|2024-01-05|2")))).toMatchObject({
      reason: "unit_not_named",
      column: "before",
    });
    expect(question(tableOf(lines("date|low|high\n2024-01-05|20|31"))).reason).toBe("unit_not_named");
  });

  it("is not what the settings say where the numbers cannot be it", () => {
    expect(columnsOf("tag|date|before\nA|2024-01-05|41", contextOf({ set: { units: "in" } }))).toMatchObject({
      before: "trims.toe_before_mm mm",
    });
  });

  it("is shared between the lengths of a sheet", () => {
    expect(columnsOf("tag|date|toe before (mm)|overhang before\nA|2024-01-05|41|4")).toMatchObject({
      "overhang before": "trims.overhang_before_mm mm",
    });
  });
});

describe("days and decimals of a column", () => {
  it("are settled by a value above 12 and else asked", () => {
    const sheet = (...days: string[]): string =>
      `tag|date|before (mm)\n${days.map((day) => `A|${day}|40`).join("\n")}`;
    expect(question(tableOf(lines(sheet("03/04/2024", "05/06/2024"))))).toMatchObject({
      reason: "date_reads_both_ways",
      column: "date",
      value: "03/04/2024",
    });
    const dayFirst = readPlain(tableOf(lines(sheet("03/04/2024", "25/06/2024"))));
    expect(dayFirst.understanding.columns[1]!.dayOrder).toBe("day_first");
    const monthFirst = readPlain(tableOf(lines(sheet("03/04/2024", "06/25/2024"))));
    expect(monthFirst.understanding.columns[1]!.dayOrder).toBe("month_first");
    const answered = readPlain(tableOf(lines(sheet("03/04/2024"))), contextOf({ set: { day_first: false } }));
    expect(answered.understanding.columns[1]!.dayOrder).toBe("month_first");
    // the same day either way asks nothing
    expect(readPlain(tableOf(lines(sheet("04/04/2024")))).records.trims).toHaveLength(1);
  });

  it("set aside only what reads both ways where the column contradicts itself", () => {
    const { records, troubles } = readPlain(
      tableOf(lines("tag|date|before (mm)\nA|25/06/2024|40\nB|06/25/2024|40\nC|03/04/2024|40")),
    );
    expect(records.trims!.map(({ animal }) => animal)).toEqual(["A", "B"]);
    expect(troubles).toMatchObject([
      { rowNo: 4, column: "date", value: "03/04/2024", reason: "date_reads_both_ways" },
    ]);
  });

  it("ask for a new export where a spreadsheet turned half of the dates around", () => {
    const days = ["2024-05-03", "2024-11-04", "2024-02-06", "25/03/2024", "13/04/2024", "28/06/2024"];
    const sheet = `tag|date|before (mm)\n${days.map((day) => `A|${day}|40`).join("\n")}`;
    expect(question(tableOf(lines(sheet)))).toMatchObject({ reason: "dates_half_converted", column: "date" });
  });

  it("see a contradiction far below the top", () => {
    const rows = Array.from({ length: 3000 }, () => ["A", "25/06/2024", "40"]);
    const table = tableOf([["tag", "date", "before (mm)"], ...rows, ["B", "06/25/2024", "40"]]);
    expect(readPlain(table).understanding.columns[1]!.dayOrder).toBeNull();
  });

  it("ask about two-digit years that stand first", () => {
    const days = ["24-03-01", "24-03-09", "24-03-05", "24-03-11", "24-04-12", "24-04-02"];
    const sheet = `tag|date|before (mm)\n${days.map((day) => `A|${day}|40`).join("\n")}`;
    expect(question(tableOf(lines(sheet))).reason).toBe("date_reads_both_ways");
  });

  it("take the decimal mark from the column, and the sheet for a doubtful one", () => {
    const { records } = readPlain(
      tableOf(lines("pen|ground|area (m2)|site\nA|wood|1.234|x\nB|wood|12,5|x"), { format: "semicolon" }),
    );
    expect(records.pens!.map(({ area_m2 }) => area_m2)).toEqual([1234, 12.5]);
    expect(question(tableOf(lines("pen|ground|area (m2)\nA|wood|1,234\nB|wood|2,345")))).toMatchObject({
      reason: "number_reads_both_ways",
      column: "area (m2)",
    });
  });
});

describe("a gait scale", () => {
  it("is the header's, the title's, the settings' or the only one that fits; else asked", () => {
    const scale = (text: string, context = contextOf()): unknown =>
      readPlain(tableOf(lines(text)), context).records.gaits![0]!.gait_scale;
    expect(scale("tag|date|gait (0-4)\nA|2024-01-05|2")).toBe("0-4");
    expect(scale("Gait scores, scale 0 to 3\ntag|date|gait\nA|2024-01-05|2")).toBe("0-3");
    expect(scale("tag|date|gait\nA|2024-01-05|2", contextOf({ set: { gait_scale: "1-5" } }))).toBe("1-5");
    expect(scale("tag|date|gait|scale\nA|2024-01-05|2|0-6")).toBe("0-6");
    expect(scale("tag|date|gait\nA|2024-01-05|6\nA|2024-01-06|0")).toBe("0-6");
    expect(question(tableOf(lines("tag|date|gait\nA|2024-01-05|2"))).reason).toBe("scale_not_known");
  });

  it("sets aside only the scores where the sheet is one of trims", () => {
    const { records, troubles } = readPlain(tableOf(lines("tag|date|before (mm)|gait\nA|2024-01-05|40|2")));
    expect(records.trims).toHaveLength(1);
    expect(troubles).toMatchObject([{ kind: "gaits", reason: "scale_not_known", column: "gait" }]);
  });
});
