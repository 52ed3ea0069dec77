import { inBatches, type NumberedRow } from "./row-batches.ts";
import { SheetFailure } from "./sheet-failure.ts";
import type { TextTable } from "./text-table.ts";
import type { TroubleList } from "./trouble-list.ts";
import { mainPartOf, readWorkbookParts, type WorkbookParts } from "./workbook-parts.ts";
import { type CellBudget, readWorksheetRows, type WorksheetRows } from "./worksheet-rows.ts";
import { openZipArchive, type ZipArchive } from "./zip-archive.ts";

/**
 * Reads every worksheet of an XLSX workbook (ECMA-376, transitional or strict). A worksheet that is damaged
 * is not read at all, the others are.
 */
export function readWorkbook(file: string, bytes: Uint8Array, troubles: TroubleList): readonly TextTable[] {
  try {
    const archive = openZipArchive(bytes);
    const otherKind = kindOfOtherArchive(archive);
    if (otherKind !== null) {
      troubles.add(otherKind, "");
      return [];
    }
    const mainPart = mainPartOf(archive);
    if (mainPart === null || !mainPart.toLowerCase().startsWith("xl/")) {
      troubles.add("not_a_sheet", "zip");
      return [];
    }
    return readWorksheets(file, archive, readWorkbookParts(archive, mainPart), troubles);
  } catch (error) {
    if (!(error instanceof SheetFailure)) throw error;
    troubles.add(error.code, error.detail);
    return [];
  }
}

function kindOfOtherArchive(
  archive: ZipArchive,
): "open_document_workbook" | "old_binary_workbook" | "encrypted_workbook" | null {
  if (archive.find("xl/workbook.bin") !== undefined) return "old_binary_workbook";
  if (archive.find("content.xml") !== undefined && archive.find("META-INF/manifest.xml") !== undefined) {
    return "open_document_workbook";
  }
  return archive.find("xl/workbook.xml")?.encrypted === true ? "encrypted_workbook" : null;
}

function readWorksheets(
  file: string,
  archive: ZipArchive,
  workbook: WorkbookParts,
  troubles: TroubleList,
): readonly TextTable[] {
  const tables: TextTable[] = [];
  const budget: CellBudget = { cells: 0 };
  let anyText = false;
  let anyTrouble = false;
  for (const { name, hidden, part } of workbook.worksheets) {
    try {
      if (part === null) throw new SheetFailure("broken_workbook", "missing part");
      const worksheet = readWorksheetRows(archive, part, workbook, budget);
      anyText ||= worksheet.rows.length > 0;
      tables.push({
        file,
        worksheet: name,
        hidden,
        format: "xlsx",
        encoding: null,
        notes: worksheet.notes,
        mergedRanges: worksheet.mergedRanges,
        batches: () => inBatches(rowsOf(worksheet)),
      });
    } catch (error) {
      if (!(error instanceof SheetFailure)) throw error;
      troubles.add(error.code, error.detail, { worksheet: name });
      anyTrouble = true;
      if (error.code === "too_large_when_unpacked") break;
    }
  }
  if (!anyText && !anyTrouble) troubles.add("empty_file", "");
  return anyText ? tables : [];
}

function* rowsOf(worksheet: WorksheetRows): Generator<NumberedRow, void, undefined> {
  for (let index = 0; index < worksheet.rows.length; index++) {
    yield { rowNumber: worksheet.rowNumbers[index], cells: worksheet.rows[index] };
  }
}
