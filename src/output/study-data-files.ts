import { type StudyData, studyColumns } from "../findings/study-data.ts";
import type { PageFile } from "../report/page-shell.tsx";
import { studyFiles } from "../report/sections/study-data.ts";
import { writeDelimited } from "../sheets/write-delimited.ts";

/** The files of a season that hold its records without names; none for a table without rows. */
export function studyDataFiles(season: string, data: StudyData): readonly PageFile[] {
  return (["growth", "gait"] as const)
    .filter((table) => data[table].length > 0)
    .map((table) => ({
      path: `${season}/${studyFiles[table]}`,
      content: writeDelimited([studyColumns[table], ...data[table]], { byteOrderMark: true }),
    }));
}
