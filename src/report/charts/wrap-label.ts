/** A label in at most two lines of about `most` characters, broken between words; a longer rest is cut with '…'. */
export function wrapLabel(label: string, most: number): readonly string[] {
  if (label.length <= most) return [label];
  const words = label.split(" ");
  let first = words.shift() ?? "";
  while (words.length > 0 && first.length + 1 + words[0]!.length <= most) first += ` ${words.shift()}`;
  const rest = words.join(" ");
  if (rest === "") return [cut(first, most)];
  return [cut(first, most), cut(rest, most)];
}

function cut(text: string, most: number): string {
  return text.length <= most ? text : `${text.slice(0, most - 1).trimEnd()}…`;
}
