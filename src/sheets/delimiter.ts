import { type RecordReader, readRecords } from "./record-reader.ts";
import type { SheetFormat } from "./text-table.ts";

export type Delimiter = "," | ";" | "\t" | "|";

/** What a table with this delimiter is called. */
export const delimitedFormats: Record<Delimiter, SheetFormat> = {
  ",": "csv",
  ";": "semicolon",
  "\t": "tsv",
  "|": "pipe",
};

/** The delimiter of a text and, where the text opens with a `sep=` line, that line's length. */
export interface FoundDelimiter {
  readonly delimiter: Delimiter;
  readonly separatorLineLength: number;
}

const sampledRecords = 500;

/**
 * Finds the delimiter by evidence. A leading `sep=` line settles it. Otherwise each candidate reads the
 * sample: the one that splits most records, and most of them alike, wins, less so where quotes end up inside
 * unquoted cells; nearly equal ones are told apart by the number of columns, then by how seldom the character
 * stands in running text. Decimal commas, known by
 * being the only comma in a cell that another delimiter bounds, are no evidence for the comma.
 */
export function findDelimiter(sample: string): FoundDelimiter {
  const separator = /^"?sep=([,;\t|])"?[ ,;\t|]*(\r\n|\n|\r|$)/i.exec(sample);
  if (separator !== null) {
    return { delimiter: separator[1] as Delimiter, separatorLineLength: separator[0].length };
  }
  const candidates = (["\t", ";", "|", ","] as const).map((delimiter) => judge(sample, delimiter));
  const best = Math.max(...candidates.map((candidate) => candidate.score));
  if (candidates.every((candidate) => candidate.columns < 2))
    return { delimiter: ",", separatorLineLength: 0 };
  const near = candidates.filter((candidate) => candidate.columns > 1 && candidate.score >= best - 0.1);
  const widest = Math.max(...near.map((candidate) => candidate.columns));
  const winner = near.find((candidate) => candidate.columns === widest) ?? near[0];
  return { delimiter: winner.delimiter, separatorLineLength: 0 };
}

interface Judgement {
  readonly delimiter: Delimiter;
  /**
   * Mean of the share of records that are split at all and the share that has the commonest width, less half
   * the share that has quotes where none belong; -1 if nothing is split.
   */
  readonly score: number;
  /** The commonest width among split records. */
  readonly columns: number;
}

function judge(sample: string, delimiter: Delimiter): Judgement {
  const text = delimiter === "," ? withoutDecimalCommas(sample) : sample;
  const reader = readRecords([text], delimiter);
  const widths = new Map<number, number>();
  let records = 0;
  let split = 0;
  let misquoted = 0;
  while (records < sampledRecords && reader.next()) {
    const { starts, ends, count } = reader.record;
    if (count === 0 || (count === 1 && starts[0] === ends[0])) continue;
    records++;
    if (holdsMisplacedQuote(reader)) misquoted++;
    if (count < 2) continue;
    split++;
    widths.set(count, (widths.get(count) ?? 0) + 1);
  }
  let columns = 0;
  let alike = 0;
  for (const [width, times] of widths) {
    if (times > alike || (times === alike && width > columns)) {
      columns = width;
      alike = times;
    }
  }
  return { delimiter, score: split === 0 ? -1 : (split + alike - misquoted) / (2 * records), columns };
}

/** True if a cell that was not quoted holds a quote. */
function holdsMisplacedQuote(reader: RecordReader): boolean {
  const text = reader.text();
  const { starts, ends, count } = reader.record;
  for (let index = 0; index < Math.min(count, starts.length); index++) {
    const quoted = starts[index] > 0 && text[starts[index] - 1] === '"';
    if (!quoted && text.slice(starts[index], ends[index]).includes('"')) return true;
  }
  return false;
}

/** Writes a point for each comma that stands inside a number between two bounds other than commas. */
function withoutDecimalCommas(sample: string): string {
  const afterBound =
    /(?<=[;\t|]["' ]?)([-+]?[\d.]{1,15}),(\d{1,15}(?: ?[%a-zµ°]{1,4})?)(?=["' ]?(?:[;\t|\r\n]|$))/g;
  const beforeBound =
    /(?<=(?:^|[\r\n])["' ]?)([-+]?[\d.]{1,15}),(\d{1,15}(?: ?[%a-zµ°]{1,4})?)(?=["' ]?[;\t|])/g;
  return sample.replace(afterBound, "$1.$2").replace(beforeBound, "$1.$2");
}
