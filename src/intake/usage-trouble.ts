import type { KindId } from "../records/kinds.ts";
import type { Language } from "../records/language.ts";

/** What makes the input as a whole unusable, so that nothing is taken. */
export type UsageTrouble =
  | { readonly code: "settings"; readonly file: string; readonly key: string; readonly says: string }
  | { readonly code: "flocks_unclear"; readonly kind: KindId; readonly folders: readonly string[] }
  | { readonly code: "reserved_flock"; readonly name: string; readonly where: string }
  | { readonly code: "flock_named_twice"; readonly name: string; readonly where: string }
  | { readonly code: "file_given_twice"; readonly file: string }
  | { readonly code: "nothing_given" };

/** A trouble in words: where, what, and what to do. */
export function wordUsageTrouble(trouble: UsageTrouble, language: Language): string {
  const es = language === "es";
  switch (trouble.code) {
    case "settings": {
      const at = trouble.key === "" ? trouble.file : `${trouble.file}: ${trouble.key}`;
      return `${at}: ${trouble.says}`;
    }
    case "flocks_unclear": {
      const folders = trouble.folders.join(", ");
      return es
        ? `Las carpetas ${folders} tienen cada una una hoja de ${trouble.kind}. ¿Son un rebaño o varios? Ponga flocks = "one" o flocks = "by_folder" en flock.toml, o una columna flock en las hojas.`
        : `The folders ${folders} each hold a sheet of ${trouble.kind}. Are they one flock or several? Put flocks = "one" or flocks = "by_folder" in flock.toml, or a column flock in the sheets.`;
    }
    case "reserved_flock":
      return es
        ? `${trouble.where}: ${trouble.name} significa todos los rebaños y no puede nombrar uno. Elija otro nombre.`
        : `${trouble.where}: ${trouble.name} means every flock and cannot name one. Choose another name.`;
    case "flock_named_twice":
      return es
        ? `${trouble.where}: otro rebaño ya se llama ${trouble.name}. Dé un id distinto en flock.toml.`
        : `${trouble.where}: another flock is named ${trouble.name} already. Give a different id in flock.toml.`;
    case "file_given_twice":
      return es ? `${trouble.file}: se dio dos veces.` : `${trouble.file}: given twice.`;
    case "nothing_given":
      return es ? "No se dio ninguna hoja." : "No sheet was given.";
  }
}
