/** A JSON Schema of the parts that Vega-Lite's own schema uses (draft 7). */
interface Schema {
  readonly $ref?: string;
  readonly type?: string | readonly string[];
  readonly enum?: readonly unknown[];
  readonly const?: unknown;
  readonly anyOf?: readonly Schema[];
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly additionalProperties?: boolean | Schema;
  readonly items?: Schema | readonly Schema[];
  readonly minItems?: number;
  readonly maxItems?: number;
  readonly minimum?: number;
  readonly maximum?: number;
  readonly not?: Schema;
  readonly definitions?: Readonly<Record<string, Schema>>;
}

/** Where and why a value breaks a schema; empty when it keeps it. Throws on a keyword that it does not know. */
export function schemaFaults(root: Schema, value: unknown): readonly string[] {
  return faults(root, root, value, "");
}

const KNOWN = new Set([
  "$ref",
  "$schema",
  "type",
  "enum",
  "const",
  "anyOf",
  "properties",
  "required",
  "additionalProperties",
  "items",
  "minItems",
  "maxItems",
  "minimum",
  "maximum",
  "not",
  "definitions",
  "description",
  "default",
  "deprecated",
  "format",
  "minLength",
  "minProperties",
]);

function faults(root: Schema, schema: Schema, value: unknown, at: string): readonly string[] {
  const unknown = Object.keys(schema).find((key) => !KNOWN.has(key));
  if (unknown !== undefined) throw new Error(`schema keyword not known: ${unknown}`);
  if (schema.$ref !== undefined) {
    return faults(
      root,
      root.definitions![decodeURIComponent(schema.$ref.replace("#/definitions/", ""))]!,
      value,
      at,
    );
  }
  if (schema.anyOf) {
    const tried = schema.anyOf.map((one) => faults(root, one, value, at));
    return tried.some((found) => found.length === 0)
      ? []
      : [...tried].sort((a, b) => depth(b) - depth(a))[0]!;
  }
  const found: string[] = [];
  if (schema.not && faults(root, schema.not, value, at).length === 0) found.push(`${at}: must not be so`);
  if ("const" in schema && value !== schema.const) found.push(`${at}: is not ${String(schema.const)}`);
  if (schema.enum && !schema.enum.includes(value))
    found.push(`${at}: ${JSON.stringify(value)} is none of the allowed`);
  const types = schema.type === undefined ? [] : [schema.type].flat();
  if (types.length > 0 && !types.some((type) => hasType(value, type)))
    return [...found, `${at}: is not ${types.join(" or ")}`];
  if (typeof value === "number") {
    if (schema.minimum !== undefined && value < schema.minimum) found.push(`${at}: below ${schema.minimum}`);
    if (schema.maximum !== undefined && value > schema.maximum) found.push(`${at}: above ${schema.maximum}`);
  }
  if (Array.isArray(value)) found.push(...arrayFaults(root, schema, value, at));
  else if (typeof value === "object" && value !== null) found.push(...objectFaults(root, schema, value, at));
  return found;
}

function arrayFaults(
  root: Schema,
  { items, minItems, maxItems }: Schema,
  value: readonly unknown[],
  at: string,
): string[] {
  const found = value.flatMap((item, i) => {
    const schema = items === undefined ? undefined : "length" in items ? items[i] : items;
    return schema ? faults(root, schema as Schema, item, `${at}/${i}`) : [];
  });
  if (minItems !== undefined && value.length < minItems) found.push(`${at}: fewer than ${minItems}`);
  if (maxItems !== undefined && value.length > maxItems) found.push(`${at}: more than ${maxItems}`);
  return found;
}

function objectFaults(root: Schema, schema: Schema, value: object, at: string): string[] {
  const { properties = {}, required = [], additionalProperties } = schema;
  const entries = Object.entries(value).filter(([, cell]) => cell !== undefined);
  const found = required
    .filter((name) => !entries.some(([key]) => key === name))
    .map((name) => `${at}: lacks ${name}`);
  for (const [key, cell] of entries) {
    const own = Object.hasOwn(properties, key) ? properties[key] : undefined;
    if (own) found.push(...faults(root, own, cell, `${at}/${key}`));
    else if (additionalProperties === false) found.push(`${at}: has no ${key}`);
    else if (typeof additionalProperties === "object")
      found.push(...faults(root, additionalProperties, cell, `${at}/${key}`));
  }
  return found;
}

function hasType(value: unknown, type: string): boolean {
  if (type === "null") return value === null;
  if (type === "array") return Array.isArray(value);
  if (type === "object") return typeof value === "object" && value !== null && !Array.isArray(value);
  if (type === "integer") return Number.isInteger(value);
  return typeof value === type;
}

/** How deep a fault lies: of several readings of a value, the one that went furthest tells most. */
function depth(found: readonly string[]): number {
  return Math.max(0, ...found.map((fault) => fault.split("/").length));
}
