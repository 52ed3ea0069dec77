import type { LoadColumn } from "../book/book.ts";

/** A column of whole numbers to load. */
export function numbers(name: string, values: readonly number[]): LoadColumn {
  return { name, type: "integer", values: Int32Array.from(values) };
}

/** A column of texts to load. */
export function texts(name: string, values: readonly (string | null)[]): LoadColumn {
  return { name, type: "text", values };
}
