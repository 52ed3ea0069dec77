/** Gives the reader a file to keep. */
export function saveFile(name: string, content: BlobPart, type: string): void {
  const address = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  // the browser takes hold of the file when the click is over
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
