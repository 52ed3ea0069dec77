import { type Zippable, zipSync } from "fflate";
import { cellRangeText, columnLetters } from "./cell-reference.ts";
import { serialOfDay } from "./serial-date.ts";
import { sheetLimits } from "./sheet-limits.ts";
import type { CellRange } from "./text-table.ts";

/** A day of the calendar, counted in days from 1970-01-01. */
interface DayCell {
  readonly day: number;
}

/** A value to be written: text, number, yes or no, a day, or nothing. */
export type WorkbookCell = string | number | boolean | DayCell | null;

export interface WorksheetToWrite {
  readonly name: string;
  readonly rows: readonly (readonly WorkbookCell[])[];
  readonly hidden?: boolean;
  readonly mergedRanges?: readonly CellRange[];
  /** Rows from the top that are set in bold and stay in sight. */
  readonly headerRows?: number;
  /** Widths of the first columns, in characters. */
  readonly columnWidths?: readonly number[];
}

/**
 * Writes an XLSX workbook (ECMA-376, transitional). Equal worksheets give equal bytes: no time of making and
 * no name of a maker stands in it. Days are real dates of the 1900 system, shown as `yyyy-mm-dd`; text stays
 * text, whatever it starts with.
 *
 * @throws RangeError on names that no workbook allows (empty, over 31 characters, one of `[]:*?/\`, an
 * apostrophe at an end, twice), on no visible worksheet, on numbers that are not finite, on days before
 * 1900-03-01 or after 9999-12-31, and past the size of a worksheet.
 */
export function writeWorkbook(worksheets: readonly WorksheetToWrite[]): Uint8Array {
  checkWorksheets(worksheets);
  const texts = sharedTexts();
  const sheetParts = worksheets.map((worksheet) => worksheetXml(worksheet, texts));
  const parts: [name: string, xml: string][] = [
    ["[Content_Types].xml", contentTypesXml(worksheets.length)],
    ["_rels/.rels", rootRelationsXml],
    ["xl/workbook.xml", workbookXml(worksheets)],
    ["xl/_rels/workbook.xml.rels", workbookRelationsXml(worksheets.length)],
    ["xl/styles.xml", stylesXml],
    ["xl/sharedStrings.xml", texts.xml()],
    ...sheetParts.map((xml, index): [string, string] => [`xl/worksheets/sheet${index + 1}.xml`, xml]),
  ];
  const encoder = new TextEncoder();
  const archive: Zippable = {};
  for (const [name, xml] of parts) archive[name] = encoder.encode(xml);
  // ZIP keeps local time without a zone: the first moment it can write, the same wherever this runs.
  return zipSync(archive, { mtime: new Date(1980, 0, 1), level: 6 });
}

const declaration = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n';
const mainSpace = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const relationSpace = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const packageSpace = "http://schemas.openxmlformats.org/package/2006";

/** Numbers of the cell formats in `stylesXml`. */
const cellFormat = { plain: 0, day: 1, bold: 2, boldDay: 3 } as const;

const stylesXml = `${declaration}<styleSheet xmlns="${mainSpace}"><numFmts count="1"><numFmt numFmtId="164" formatCode="yyyy\\-mm\\-dd"/></numFmts><fonts count="2"><font><sz val="11"/><name val="Calibri"/></font><font><b/><sz val="11"/><name val="Calibri"/></font></fonts><fills count="2"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill></fills><borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders><cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs><cellXfs count="4"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/><xf numFmtId="164" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/><xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="1"/><xf numFmtId="164" fontId="1" fillId="0" borderId="0" xfId="0" applyNumberFormat="1" applyFont="1"/></cellXfs><cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>`;

const rootRelationsXml = `${declaration}<Relationships xmlns="${packageSpace}/relationships"><Relationship Id="rId1" Type="${relationSpace}/officeDocument" Target="xl/workbook.xml"/></Relationships>`;

function contentTypesXml(worksheetCount: number): string {
  const type = "application/vnd.openxmlformats-officedocument.spreadsheetml";
  const override = (part: string, kind: string) =>
    `<Override PartName="/xl/${part}" ContentType="${type}.${kind}+xml"/>`;
  const sheets = numbered(worksheetCount, (number) => override(`worksheets/sheet${number}.xml`, "worksheet"));
  return `${declaration}<Types xmlns="${packageSpace}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/>${override("workbook.xml", "sheet.main")}${override("styles.xml", "styles")}${override("sharedStrings.xml", "sharedStrings")}${sheets}</Types>`;
}

function workbookRelationsXml(worksheetCount: number): string {
  const relation = (number: number, type: string, target: string) =>
    `<Relationship Id="rId${number}" Type="${relationSpace}/${type}" Target="${target}"/>`;
  const sheets = numbered(worksheetCount, (number) =>
    relation(number, "worksheet", `worksheets/sheet${number}.xml`),
  );
  const rest = `${relation(worksheetCount + 1, "styles", "styles.xml")}${relation(worksheetCount + 2, "sharedStrings", "sharedStrings.xml")}`;
  return `${declaration}<Relationships xmlns="${packageSpace}/relationships">${sheets}${rest}</Relationships>`;
}

function workbookXml(worksheets: readonly WorksheetToWrite[]): string {
  const firstVisible = worksheets.findIndex((worksheet) => worksheet.hidden !== true);
  const sheets = worksheets.map(({ name, hidden }, index) => {
    const state = hidden === true ? ' state="hidden"' : "";
    return `<sheet name="${escapeXml(escapeText(name))}" sheetId="${index + 1}"${state} r:id="rId${index + 1}"/>`;
  });
  return `${declaration}<workbook xmlns="${mainSpace}" xmlns:r="${relationSpace}"><bookViews><workbookView activeTab="${firstVisible}"/></bookViews><sheets>${sheets.join("")}</sheets></workbook>`;
}

interface SharedTexts {
  /** The number of a text, the same for equal texts. */
  indexOf(text: string): number;
  xml(): string;
}

function sharedTexts(): SharedTexts {
  const indexes = new Map<string, number>();
  let uses = 0;
  return {
    indexOf(text) {
      uses++;
      const known = indexes.get(text);
      if (known !== undefined) return known;
      indexes.set(text, indexes.size);
      return indexes.size - 1;
    },
    xml() {
      const items = [...indexes.keys()].map((text) => {
        const space = /^\s|\s$|[\n\t]/.test(text) ? ' xml:space="preserve"' : "";
        return `<si><t${space}>${escapeXml(escapeText(text))}</t></si>`;
      });
      return `${declaration}<sst xmlns="${mainSpace}" count="${uses}" uniqueCount="${indexes.size}">${items.join("")}</sst>`;
    },
  };
}

function worksheetXml(worksheet: WorksheetToWrite, texts: SharedTexts): string {
  const { rows, headerRows = 0, columnWidths = [], mergedRanges = [] } = worksheet;
  const pane = `<pane ySplit="${headerRows}" topLeftCell="A${headerRows + 1}" activePane="bottomLeft" state="frozen"/>`;
  const view = `<sheetViews><sheetView workbookViewId="0">${headerRows > 0 ? pane : ""}</sheetView></sheetViews>`;
  const widths = columnWidths.map(
    (width, index) => `<col min="${index + 1}" max="${index + 1}" width="${width}" customWidth="1"/>`,
  );
  const rowsXml = rows.map((cells, index) => rowXml(cells, index + 1, index < headerRows, texts));
  const merges = mergedRanges.map((range) => `<mergeCell ref="${cellRangeText(range)}"/>`);
  const columns = widths.length === 0 ? "" : `<cols>${widths.join("")}</cols>`;
  const merged =
    merges.length === 0 ? "" : `<mergeCells count="${merges.length}">${merges.join("")}</mergeCells>`;
  return `${declaration}<worksheet xmlns="${mainSpace}">${view}${columns}<sheetData>${rowsXml.join("")}</sheetData>${merged}</worksheet>`;
}

function rowXml(cells: readonly WorkbookCell[], row: number, bold: boolean, texts: SharedTexts): string {
  const parts = cells
    .map((cell, index) => cellXml(cell, `${columnLetters(index + 1)}${row}`, bold, texts))
    .join("");
  return parts === "" ? "" : `<row r="${row}">${parts}</row>`;
}

function cellXml(cell: WorkbookCell, reference: string, bold: boolean, texts: SharedTexts): string {
  if (cell === null || cell === "") return "";
  const format = bold ? cellFormat.bold : cellFormat.plain;
  const style = format === cellFormat.plain ? "" : ` s="${format}"`;
  if (typeof cell === "string") return `<c r="${reference}"${style} t="s"><v>${texts.indexOf(cell)}</v></c>`;
  if (typeof cell === "boolean") return `<c r="${reference}"${style} t="b"><v>${cell ? 1 : 0}</v></c>`;
  if (typeof cell === "number") {
    if (!Number.isFinite(cell)) throw new RangeError(`The number in ${reference} is not finite.`);
    return `<c r="${reference}"${style}><v>${cell}</v></c>`;
  }
  const serial = serialOfDay(cell.day);
  if (!Number.isInteger(serial) || serial < firstHonestSerial || serial > lastSerial) {
    throw new RangeError(`The day in ${reference} is none that a workbook can hold.`);
  }
  return `<c r="${reference}" s="${bold ? cellFormat.boldDay : cellFormat.day}"><v>${serial}</v></c>`;
}

/** 1900-03-01: before it, programs differ in what a serial means. */
const firstHonestSerial = 61;

/** 9999-12-31. */
const lastSerial = 2_958_465;

/** Writes `_x0001_` for characters that XML cannot hold, and for a `_` that would read as the start of that. */
function escapeText(text: string): string {
  return text
    .replace(/_(?=x[0-9a-f]{4}_)/gi, "_x005F_")
    .replace(unwritable, (unit) => `_x${unit.charCodeAt(0).toString(16).toUpperCase().padStart(4, "0")}_`);
}

/** Control characters, halves of surrogate pairs and the two non-characters (XML 1.0, production 2). */
const unwritable = /(?![\t\n])\p{Cc}|\p{Cs}|[\ufffe\uffff]/gu;

function escapeXml(text: string): string {
  return text
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;");
}

function numbered(count: number, write: (number: number) => string): string {
  return Array.from({ length: count }, (_, index) => write(index + 1)).join("");
}

function checkWorksheets(worksheets: readonly WorksheetToWrite[]): void {
  if (!worksheets.some((worksheet) => worksheet.hidden !== true)) {
    throw new RangeError("A workbook needs a worksheet that is not hidden.");
  }
  const names = new Set<string>();
  for (const { name, rows } of worksheets) {
    if (name === "" || name.length > 31 || /[[\]:*?/\\]|^'|'$/.test(name)) {
      throw new RangeError(`No worksheet can be named "${name}".`);
    }
    if (names.has(name.toLowerCase())) throw new RangeError(`Two worksheets are named "${name}".`);
    names.add(name.toLowerCase());
    if (rows.length > sheetLimits.worksheetRows || rows.some((row) => row.length > sheetLimits.columns)) {
      throw new RangeError(`Worksheet "${name}" is larger than a worksheet can be.`);
    }
  }
}
