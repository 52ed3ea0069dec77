/**
 * The stored text of a number as its value reads in full: the shortest text that reads back to the same
 * number, whole numbers digit for digit as stored, however many they are.
 */
export function numberText(stored: string): string {
  if (isShortest(stored)) return stored;
  const text = stored.trim();
  if (/^-?\d+$/.test(text)) return text.replace(/^(-?)0+(?=\d)/, "$1");
  const value = Number(text);
  return text === "" || !Number.isFinite(value) ? stored : String(value);
}

/** A share as percent, its decimal point moved in the text so that no digit is made up: 0.14 gives `14%`. */
export function percentText(stored: string): string {
  const text = numberText(stored);
  const parts = /^(-?)(\d+)(?:\.(\d+))?$/.exec(text);
  if (parts === null) return Number.isFinite(Number(text)) && text !== "" ? `${Number(text) * 100}%` : text;
  const [, sign, whole, decimals = ""] = parts;
  const digits = whole + decimals.padEnd(2, "0");
  const point = whole.length + 2;
  const before = digits.slice(0, point).replace(/^0+(?=\d)/, "");
  const after = digits.slice(point).replace(/0+$/, "");
  return `${sign}${before}${after === "" ? "" : `.${after}`}%`;
}

/**
 * True for plain decimal text of at most fifteen digits without needless zeros: it reads back to its number
 * and no shorter text does, since a double keeps fifteen decimal digits.
 */
function isShortest(text: string): boolean {
  const sign = text.charCodeAt(0) === 45 ? 1 : 0;
  const length = text.length;
  if (length === sign || length - sign > 16) return false;
  let point = -1;
  for (let at = sign; at < length; at++) {
    const unit = text.charCodeAt(at);
    if (unit === 46 && point === -1) point = at;
    else if (unit < 48 || unit > 57) return false;
  }
  const startsWithZero = text.charCodeAt(sign) === 48;
  if (point === -1) return !startsWithZero;
  const endsWithZero = text.charCodeAt(length - 1) === 48;
  return point > sign && point < length - 1 && !endsWithZero && (!startsWithZero || point === sign + 1);
}
