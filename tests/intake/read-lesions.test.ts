import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { lesionWords } from "../../src/intake/lesion-words.ts";
import { readLesions } from "../../src/intake/read-lesions.ts";
import { readRemark } from "../../src/intake/read-remark.ts";
import { lesionIds, lesionKinds } from "../../src/records/lesion-kinds.ts";

const words = lesionWords({ "puff ball": "swollen coronet or joint" });

const found = (text: string): string => {
  const read = readLesions(text, words);
  if ("trouble" in read) return read.trouble;
  return read.value
    .map(({ lesion, feet, claw, suspected, degree }) =>
      [lesion, feet.join(" "), claw ?? "", suspected ? "?" : "", degree ?? ""]
        .filter((one) => one !== "")
        .join("|"),
    )
    .join(" + ");
};

describe("readLesions", () => {
  it.each([
    ["footrot", "footrot"],
    ["Foot Rot", "footrot"],
    ["gabarro", "footrot"],
    ["abscesses", "white line abscess"],
    ["blood in the sole", "sole haemorrhage"],
    ["red between the toes", "sore between the toes"],
    ["scald + overgrown", "sore between the toes + overgrowth"],
    ["scald; footrot/ granuloma, crack", "sore between the toes + footrot + toe granuloma + crack"],
    ["scald and overgrown", "sore between the toes + overgrowth"],
    ["footrot?", "footrot|?"],
    ["possible footrot", "footrot|?"],
    ["mild scald", "sore between the toes|mild"],
    ["severe footrot LH", "footrot|LH|severe"],
    ["LF scald", "sore between the toes|LF"],
    ["LF: scald, overgrown", "sore between the toes|LF + overgrowth|LF"],
    ["scald LF, overgrown", "sore between the toes|LF + overgrowth"],
    ["LF inner white line abscess", "white line abscess|LF|inner"],
    ["scald both fronts", "sore between the toes|LF RF"],
    ["all four feet overgrown", "overgrowth|LF RF LH RH"],
    ["gabarro pata trasera derecha", "footrot|RH"],
    ["puff ball", "swollen coronet or joint"],
    ["none", "none"],
    ["limpia", "none"],
    ["no lesions seen", "none"],
    ["no problems", "none"],
    ["none LF, scald RF", "none|LF + sore between the toes|RF"],
    ["none, scald", "sore between the toes"],
    ["weird thing", "other"],
    ["not healing rot", "other"],
  ])("reads %s", (text, means) => {
    expect(found(text)).toBe(means);
  });

  it.each([
    "no rot",
    "sin gabarro",
    "not footrot",
    "no sign of rot",
    "no footrot seen",
    "without scald",
    "no hay gabarro",
    "rot free",
    "no rot, no scald",
    "never had footrot",
    "LF no rot",
    "negative for footrot",
  ])("never reads %s as found", (text) => {
    expect(found(text)).toBe("only_negated");
  });

  it("keeps what is found beside what is denied", () => {
    expect(found("scald, no rot")).toBe("sore between the toes");
  });

  it("keeps the text of each part", () => {
    const read = readLesions("Scald LF; odd bump", words);
    expect("value" in read && read.value.map(({ text, known }) => [text, known])).toEqual([
      ["Scald LF", true],
      ["odd bump", false],
    ]);
  });

  it("knows every word of the list, and no denial of one", () => {
    for (const id of lesionIds) {
      for (const word of [...lesionKinds[id].words.en, ...lesionKinds[id].words.es]) {
        expect([word, found(word).split("|")[0]]).toEqual([word, id]);
        if (id === "none" || id === "other") continue;
        for (const denied of [`no ${word}`, `sin ${word}`, `no sign of ${word}`]) {
          expect(found(denied)).toBe("only_negated");
        }
      }
    }
  });

  it("reads any mix of words back", () => {
    const lesion = fc.constantFrom(...lesionIds.filter((id) => id !== "none" && id !== "other"));
    const foot = fc.constantFrom("", "LF", "RF", "LH", "RH");
    const part = fc.tuple(lesion, foot, fc.boolean());
    fc.assert(
      fc.property(
        fc.array(part, { minLength: 1, maxLength: 4 }),
        fc.constantFrom(" + ", "; ", " / ", ", "),
        (parts, gap) => {
          const text = parts
            .map(([id, at, doubt]) => `${id}${at === "" ? "" : ` ${at}`}${doubt ? "?" : ""}`)
            .join(gap);
          const means = parts.map(([id, at, doubt]) =>
            [id, at, doubt ? "?" : ""].filter((one) => one !== "").join("|"),
          );
          expect(found(text)).toBe(means.join(" + "));
        },
      ),
    );
  });

  it("never throws", () => {
    fc.assert(fc.property(fc.string(), (text) => void readLesions(text, words)));
  });
});

describe("readRemark", () => {
  const asked = (text: string): string => {
    const read = readRemark(text, words);
    return read === null ? "" : `${read.wouldBe.join(" + ")}${read.notifiable ? " !" : ""}`;
  };
  it.each([
    ["limping on LF", "gaits: lame"],
    ["cojea un poco", "gaits: lame"],
    ["Sore foot, maybe footrot", "gaits: lame + lesions: footrot"],
    ["abscess opened", "lesions: white line abscess"],
    ["blisters on mouth", "lesions: other !"],
    ["drooling and limping", "gaits: lame !"],
    ["went down this morning", "gaits: lame !"],
    ["not bearing weight", "gaits: lame !"],
    ["no se levanta", "gaits: lame !"],
    ["no change, limping", "gaits: lame"],
    ["not eating and limping", "gaits: lame"],
  ])("asks about %s", (text, means) => {
    expect(asked(text)).toBe(means);
  });
  it.each([
    "",
    "fine",
    "not limping",
    "no sign of rot or scald",
    "sin cojera",
    "no blisters",
    "trimmed down well",
    "took it down to 30 mm",
    "long toes, cut short",
    "wire fence moved",
  ])("asks nothing about %s", (text) => {
    expect(asked(text)).toBe("");
  });
});
