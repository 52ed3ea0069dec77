import { builtInNumberFormat, type NumberFormat, parseNumberFormat } from "./number-format.ts";
import type { DateSystem } from "./serial-date.ts";
import { SheetFailure } from "./sheet-failure.ts";
import { sheetLimits } from "./sheet-limits.ts";
import { scanXml, type XmlHandler } from "./xml-scanner.ts";
import type { ZipArchive } from "./zip-archive.ts";

/** What the parts of a workbook other than its worksheets say. */
export interface WorkbookParts {
  readonly worksheets: readonly WorksheetPart[];
  readonly dateSystem: DateSystem;
  /** Texts that cells refer to by number. */
  readonly sharedTexts: readonly string[];
  /** Number formats by a cell's style number. */
  readonly numberFormats: readonly NumberFormat[];
}

interface WorksheetPart {
  readonly name: string;
  readonly hidden: boolean;
  /** Name of the part in the archive; null if the workbook does not say, or points outside of itself. */
  readonly part: string | null;
}

/** Name of the workbook's main part; null if the archive is no workbook in the Office Open XML format. */
export function mainPartOf(archive: ZipArchive): string | null {
  const main = readRelations(archive, "").find((relation) => relation.type === "officeDocument");
  const name = main?.part ?? "xl/workbook.xml";
  return archive.find(name) === undefined ? null : name;
}

/**
 * Reads the list of worksheets, the shared texts and the number formats of a workbook.
 *
 * @throws SheetFailure if a part is damaged.
 */
export function readWorkbookParts(archive: ZipArchive, mainPart: string): WorkbookParts {
  const relations = readRelations(archive, mainPart);
  const partOfType = (type: string) => relations.find((relation) => relation.type === type)?.part ?? null;
  const { worksheets, dateSystem } = readWorksheetList(archive, mainPart, relations);
  return {
    worksheets,
    dateSystem,
    sharedTexts: readSharedTexts(archive, partOfType("sharedStrings")),
    numberFormats: readNumberFormats(archive, partOfType("styles")),
  };
}

/** Small enough that the text of a piece is a short-lived object to the memory manager. */
const scannedBytes = 64 * 1024;

/** Hands one part of an archive to an XML handler. */
export function scanPart(archive: ZipArchive, part: string, handler: XmlHandler): void {
  const entry = archive.find(part);
  if (entry === undefined) throw new SheetFailure("broken_workbook", "missing part");
  const scanner = scanXml(handler);
  let decoder: PieceDecoder | null = null;
  archive.unpack(entry, (piece) => {
    decoder ??= decoderFor(piece);
    for (let at = 0; at < piece.length; at += scannedBytes) {
      scanner.write(decoder(piece.subarray(at, at + scannedBytes), false));
    }
  });
  if (decoder !== null) scanner.write((decoder as PieceDecoder)(new Uint8Array(0), true));
  scanner.end();
}

/** Texts of the OOXML type ST_Xstring, in which `_x000D_` is the character of that number. */
export function unescapeText(text: string): string {
  if (!text.includes("_x")) return text;
  return text.replace(/_x([0-9a-f]{4})_/gi, (_, digits: string) =>
    String.fromCharCode(Number.parseInt(digits, 16)),
  );
}

interface Relation {
  readonly id: string;
  /** Last word of the relation's type, which is all that the transitional and strict formats share. */
  readonly type: string;
  readonly part: string | null;
}

function readRelations(archive: ZipArchive, ofPart: string): readonly Relation[] {
  const slash = ofPart.lastIndexOf("/") + 1;
  const name = `${ofPart.slice(0, slash)}_rels/${ofPart.slice(slash)}.rels`;
  if (archive.find(name) === undefined) return [];
  const relations: Relation[] = [];
  scanPart(archive, name, {
    open(element, attributes) {
      if (element !== "Relationship") return;
      if (relations.length >= sheetLimits.archiveEntries)
        throw new SheetFailure("broken_workbook", "relations");
      const target = attributes.get("Target") ?? "";
      relations.push({
        id: attributes.get("Id") ?? "",
        type: (attributes.get("Type") ?? "").replace(/^.*\//, ""),
        part: attributes.get("TargetMode") === "External" ? null : resolvePart(ofPart, target),
      });
    },
    close() {},
    text() {},
  });
  return relations;
}

/** Resolves a relation's target within the archive; one that climbs out of it names nothing. */
function resolvePart(fromPart: string, target: string): string | null {
  const path = target.startsWith("/")
    ? target
    : `${fromPart.slice(0, fromPart.lastIndexOf("/") + 1)}${target}`;
  const steps: string[] = [];
  for (const step of path.split("/")) {
    if (step === "..") {
      if (steps.pop() === undefined) return null;
    } else if (step !== "" && step !== ".") {
      steps.push(step);
    }
  }
  return steps.join("/");
}

function readWorksheetList(
  archive: ZipArchive,
  mainPart: string,
  relations: readonly Relation[],
): { worksheets: WorksheetPart[]; dateSystem: DateSystem } {
  const worksheets: WorksheetPart[] = [];
  let dateSystem: DateSystem = 1900;
  scanPart(archive, mainPart, {
    open(element, attributes) {
      if (element === "workbookPr" && /^(1|true)$/.test(attributes.get("date1904") ?? "")) dateSystem = 1904;
      if (element !== "sheet") return;
      const id = attributes.get("id");
      const relation = relations.find((candidate) => candidate.id === id);
      // Chart sheets and the like hold no cells.
      if (relation !== undefined && relation.type !== "worksheet") return;
      if (worksheets.length >= sheetLimits.worksheets)
        throw new SheetFailure("broken_workbook", "worksheets");
      worksheets.push({
        name: unescapeText(attributes.get("name") ?? ""),
        hidden: /^(hidden|veryHidden)$/.test(attributes.get("state") ?? ""),
        part: relation?.part ?? null,
      });
    },
    close() {},
    text() {},
  });
  return { worksheets, dateSystem };
}

function readSharedTexts(archive: ZipArchive, part: string | null): readonly string[] {
  if (part === null || archive.find(part) === undefined) return [];
  const texts: string[] = [];
  let text = "";
  let inText = false;
  let phonetic = 0;
  scanPart(archive, part, {
    open(element) {
      if (element === "si") text = "";
      else if (element === "rPh") phonetic++;
      else if (element === "t") inText = phonetic === 0;
    },
    close(element) {
      if (element === "si") {
        if (texts.length >= sheetLimits.workbookCells) {
          throw new SheetFailure("too_many_cells", String(sheetLimits.workbookCells));
        }
        texts.push(unescapeText(text));
      }
      if (element === "rPh") phonetic--;
      else if (element === "t") inText = false;
    },
    text(piece) {
      if (inText) text += piece;
    },
  });
  return texts;
}

function readNumberFormats(archive: ZipArchive, part: string | null): readonly NumberFormat[] {
  if (part === null || archive.find(part) === undefined) return [];
  const custom = new Map<number, NumberFormat>();
  const formats: NumberFormat[] = [];
  let inCellFormats = false;
  scanPart(archive, part, {
    open(element, attributes) {
      if (element === "numFmt") {
        const id = Number(attributes.get("numFmtId"));
        // Formats inside conditional formatting share the numbers and come later.
        if (!custom.has(id)) custom.set(id, parseNumberFormat(attributes.get("formatCode") ?? ""));
      } else if (element === "cellXfs") {
        inCellFormats = true;
      } else if (element === "xf" && inCellFormats) {
        if (formats.length >= sheetLimits.cellFormats) throw new SheetFailure("broken_workbook", "styles");
        const id = Number(attributes.get("numFmtId") ?? 0);
        formats.push(custom.get(id) ?? builtInNumberFormat(id));
      }
    },
    close(element) {
      if (element === "cellXfs") inCellFormats = false;
    },
    text() {},
  });
  return formats;
}

type PieceDecoder = (piece: Uint8Array, last: boolean) => string;

function decoderFor(start: Uint8Array): PieceDecoder {
  const littleEnd = start[0] === 0xff && start[1] === 0xfe;
  const bigEnd = start[0] === 0xfe && start[1] === 0xff;
  if (!littleEnd && !bigEnd) return utf8PieceDecoder();
  const decoder = new TextDecoder(littleEnd ? "utf-16le" : "utf-16be");
  return (piece, last) => decoder.decode(piece, { stream: !last });
}

/** Decodes UTF-8 piece by piece, keeping back a character cut in two: far quicker than a streaming decoder. */
function utf8PieceDecoder(): PieceDecoder {
  const decoder = new TextDecoder("utf-8", { fatal: true });
  let kept = new Uint8Array(0);
  return (piece, last) => {
    let bytes = piece;
    if (kept.length > 0) {
      bytes = new Uint8Array(kept.length + piece.length);
      bytes.set(kept);
      bytes.set(piece, kept.length);
    }
    const end = last ? bytes.length : endOfWholeCharacters(bytes);
    kept = bytes.slice(end);
    try {
      return decoder.decode(bytes.subarray(0, end));
    } catch {
      throw new SheetFailure("broken_workbook", "xml encoding");
    }
  };
}

/** Where the last character starts if it may go on in the next piece, else the end. */
function endOfWholeCharacters(bytes: Uint8Array): number {
  for (let back = 1; back <= Math.min(3, bytes.length); back++) {
    const byte = bytes[bytes.length - back];
    if (byte < 0x80) break;
    if (byte >= 0xc0) return bytes.length - back;
  }
  return bytes.length;
}
