/** What a file in the OLE compound format ([MS-CFB]) holds, told by the names in its directory. */
export function kindOfCompoundFile(bytes: Uint8Array): "encrypted_workbook" | "old_binary_workbook" | null {
  const entryBytes = 128;
  let old = false;
  // Directory entries start at multiples of their length; the name comes first, in UTF-16.
  for (let at = 512; at + entryBytes <= bytes.length; at += entryBytes) {
    if (hasName(bytes, at, "EncryptedPackage")) return "encrypted_workbook";
    old ||= hasName(bytes, at, "Workbook") || hasName(bytes, at, "Book");
  }
  return old ? "old_binary_workbook" : null;
}

function hasName(bytes: Uint8Array, at: number, name: string): boolean {
  const nameLengthAt = at + 64;
  if (bytes[nameLengthAt] !== 2 * name.length + 2 || bytes[nameLengthAt + 1] !== 0) return false;
  for (let index = 0; index < name.length; index++) {
    if (bytes[at + 2 * index] !== name.charCodeAt(index) || bytes[at + 2 * index + 1] !== 0) return false;
  }
  return true;
}
