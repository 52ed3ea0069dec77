/** Parts a cell that holds both. 'No rot' is no mark: no and the short letters need a stop behind them. */
export function valueAndRemark(text: string): { readonly value: string; readonly remark: string } | null {
  const match =
    /^(x|✓|✔|yes)[\s,;:.\-–]+(.+)$/isu.exec(text.trim()) ??
    /^(y|n|no|s|si|sí)\s*[,;:.–-]\s*(.+)$/isu.exec(text.trim()) ??
    /^(\d[\d.,/ -]*?\s?(?:mm|cm|in|")?)[\s,;:–-]+(\p{L}.*)$/isu.exec(text.trim());
  return match === null ? null : { value: match[1]!, remark: match[2]!.trim() };
}
